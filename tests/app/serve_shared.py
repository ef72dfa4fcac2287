"""The app over the sample table, shared: `python serve_shared.py`, which prints its address with the code.

With `--any-name` it also answers as `table.test`, which a browser holds for a place without encryption, like a
network address; it stays on loopback.
"""

import signal
import sys
from contextlib import suppress
from pathlib import Path
from tempfile import TemporaryDirectory

from sample import sample_desk

from intake.app.door import Door
from intake.app.main import run, session_main
from intake.app.server import bound_socket, serve, web_app
from intake.app.session import Shared
from intake.app.share import HERE, join_url
from intake.app.webpage import write_webpage
from intake.handbook.locate import resources
from intake.words import catalogue


def stop(_number, _frame):
    raise KeyboardInterrupt


def by_any_name():
    words = catalogue(resources() / "words")
    with TemporaryDirectory() as folder, bound_socket("127.0.0.1", 0) as held:
        write_webpage(resources() / "web", Path(folder), words)
        main = session_main(Shared(desk=sample_desk(), words=words))
        app = web_app(main, Path(folder), words, {}, hosts=(*HERE, "table.test"))
        held.listen()
        print(f"http://127.0.0.1:{held.getsockname()[1]}", flush=True)
        serve(app, (held,))


if __name__ == "__main__":
    signal.signal(signal.SIGTERM, stop)
    with suppress(KeyboardInterrupt):
        if "--any-name" in sys.argv:
            by_any_name()
        else:
            door = Door()
            run(
                sample_desk, port=0, door=door,
                on_ready=lambda url: print(join_url(url, door.code), flush=True),
            )  # fmt: skip
