"""The sample table served with everything the app hands out: a child process of the browser tests."""

import signal
from contextlib import suppress

from sample import sample_desk
from serve_sample import stop

from intake.app.main import run

if __name__ == "__main__":
    signal.signal(signal.SIGTERM, stop)
    with suppress(KeyboardInterrupt):
        run(sample_desk, port=0, on_ready=lambda url: print(url, flush=True))
