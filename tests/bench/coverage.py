"""How honest the 90 % interval is after five weighed bins, on 2,000 campaigns: `python tests/bench/coverage.py`.

Printed, never asserted; the suite asserts what 100 campaigns can show (tests/outside/test_learning_coverage.py).
Takes some minutes.
"""

import sys
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from simulated_learning import coverage, off_alike, off_each

from intake.handbook import Handbook

TABLES = {
    "masses right": off_alike(1.0),
    "each kind 15 % low or high": off_each,
    "all kinds 15 % low": off_alike(0.85),
    "all kinds 15 % high": off_alike(1.15),
}


def main() -> None:
    """One line a table."""
    campaigns = int(sys.argv[1]) if len(sys.argv) > 1 else 2000
    book = Handbook()
    for name, factors in TABLES.items():
        start = time.process_time()
        found = coverage(book, factors, campaigns, seed=20261125)
        seconds = time.process_time() - start
        print(
            f"{name}: covered {100 * found.before:.1f} % before, {100 * found.after:.1f} % after; mean error "
            f"{100 * found.error_before:.1f} % before, {100 * found.error_after:.1f} % after ({seconds:.0f} s CPU)",
            flush=True,
        )


if __name__ == "__main__":
    main()
