"""The app over the sample table, for browser tests: `python serve_sample.py`, which prints its address."""

import signal
from contextlib import suppress

from sample import sample_desk

from intake.app.download import Download
from intake.app.main import run
from intake.errors import UnknownName


def label(name):
    if name != "H-1":
        raise UnknownName(where="Bin", got=name, known=["H-1"])
    return Download(data=b"%PDF-1.4 sample", media_type="application/pdf", filename=f"{name}.pdf")


def broken(name):
    raise KeyError("secret path")


def stop(_number, _frame):
    raise KeyboardInterrupt


if __name__ == "__main__":
    signal.signal(signal.SIGTERM, stop)
    with suppress(KeyboardInterrupt):
        run(
            sample_desk,
            port=0,
            downloads=lambda _: {"label": label, "broken": broken},
            on_ready=lambda url: print(url, flush=True),
        )
