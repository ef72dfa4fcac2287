"""The app over a ledger that outlives the process: `WALK_LEDGER=folder python serve_walk.py`."""

import os
from pathlib import Path

from sample import open_sample

from intake.app.main import run

if __name__ == "__main__":
    folder = Path(os.environ["WALK_LEDGER"])
    run(lambda: open_sample(folder), port=0, on_ready=lambda url: print(url, flush=True))
