"""How well the odds keep their word, and what the next best test saves.

Run `python tests/bench/calibration.py [ITEMS]`.

Rows: the model's own error rates; 1.5 times worse; and two tables where looks of one group are not tied to one
another at all, or wholly, which the model knows nothing of.
"""

import sys
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[2]))
sys.path.insert(0, str(Path(__file__).parents[1]))

import simulated_items
from paths_to_verdict import ACCEPT_AT, FIXED, PVC_AT_MOST, best_next, fixed_order, walk
from simulated_items import Simulator, calibration_error

from intake.handbook import Handbook
from intake.table.identify.posterior import judge

SEED = 20_261_125


def odds_row(book, items, worse, halo):
    simulated_items.HALO = halo
    table = Simulator(book.identify, book.kinds, SEED, worse)
    confidence, right, unguarded, guarded = [], [], [], []
    for _ in range(items):
        item = table.item()
        odds = judge(item.kind, table.some_evidence(item), book.identify)
        confidence.append(odds.probability)
        right.append(odds.most_likely == item.resin)
        if odds.most_likely == "PE-HD" and odds.probability >= ACCEPT_AT:
            unguarded.append(item.resin == "PVC")
            if odds.physical and odds.probabilities["PVC"] <= PVC_AT_MOST:
                guarded.append(item.resin == "PVC")
    error = calibration_error(np.array(confidence), np.array(right))
    print(
        f"x{worse} halo {halo}: ECE {error:.4f}  mean odds {np.mean(confidence):.4f}  right {np.mean(right):.4f}  "
        f"PVC in accepted PE-HD {sum(guarded)}/{len(guarded)}, without guard {sum(unguarded)}/{len(unguarded)}"
    )


def minutes_row(book, items, worse):
    simulator = Simulator(book.identify, book.kinds, SEED, worse)
    drawn = [simulator.item() for _ in range(items)]
    rules = {
        "fixed order": fixed_order,
        "next best": lambda: best_next(book.identify),
        "next best of the fixed five": lambda: best_next(book.identify, FIXED),
    }
    first = None
    for name, rule in rules.items():
        paths = [walk(item, rule(), book.identify) for item in drawn]
        minutes = np.mean([p.minutes for p in paths])
        first = first or minutes
        settled = [p for p in paths if p.settled]
        print(
            f"x{worse} {name:28} {minutes:.2f} min an item ({100 * (minutes / first - 1):+.0f} %)  "
            f"settled {len(settled) / items:.3f}  right of the settled {np.mean([p.right for p in settled]):.3f}  "
            f"tests {np.mean([p.tests for p in paths]):.1f}"
        )


def main():
    items = int(sys.argv[1]) if len(sys.argv) > 1 else 20_000
    book = Handbook()
    for worse, halo in ((1.0, 0.7), (1.5, 0.7), (1.0, 0.0), (1.0, 1.0)):
        odds_row(book, items, worse, halo)
    simulated_items.HALO = 0.7
    for worse in (1.0, 1.5):
        minutes_row(book, max(items // 10, 200), worse)


if __name__ == "__main__":
    main()
