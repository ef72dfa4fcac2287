"""Labels beside the symbols they carry, and a thousand of them in bounded memory: `python tests/bench/labels.py`.

Drawing 24 labels at 300 dots an inch is timed against encoding their 24 symbols alone with the same encoder, each
symbol for the first time in either; five rounds taken in turns, medians of processor time. The memory is the peak
of a fresh process that writes 1,000 labels on A4 sheets through `intake labels`.
"""

import io
import resource
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))
sys.path.insert(0, str(Path(__file__).parents[1]))

from made_lots import BOOK, lot

from intake.drawing.canvas import Press
from intake.drawing.fonts import Fonts
from intake.drawing.sheet import write_pdf
from intake.drawing.symbol import encode
from intake.handbook.locate import resources
from intake.table.bins.colour import GroupId
from intake.table.bins.key import BinKey
from intake.table.kinds import Flow
from intake.table.labels.tag import bin_tag
from intake.table.resins import ResinId
from intake.words import catalogue

SHEET, ROUNDS, GOAL, MANY, MOST_MB = 24, 5, 3.0, 1000, 250.0
ONE_PROCESS = """
import resource, sys
sys.stderr.isatty = lambda: True
from intake.cli import main
main(["labels", "--ledger", sys.argv[1], "--sheet", "a4-3x8", "--out", sys.argv[2]])
print(resource.getrusage(resource.RUSAGE_SELF).ru_maxrss)
"""


def tags():
    colours = [g for g in BOOK.colours.swatches if g != "mixed"]
    for n in range(1, SHEET + 1):
        key = BinKey(resin=ResinId("PE-HD"), colour=GroupId(colours[n % len(colours)]), flow=Flow.BLOW)
        yield bin_tag(
            f"QT-{n:02d}", key, resins=BOOK.resins, colours=BOOK.colours, table="Quayside", date="2026-11-24"
        )


def timed(labels, press):
    stock, drawing, encoding = BOOK.label_stocks["a4-3x8"], [], []
    for _ in range(ROUNDS):
        encode.cache_clear()
        start = time.process_time()
        for label in labels:
            encode(label.payload.text)
        encoding.append(time.process_time() - start)
        encode.cache_clear()
        start = time.process_time()
        write_pdf(labels, stock, press, io.BytesIO())
        drawing.append(time.process_time() - start)
    return statistics.median(drawing), statistics.median(encoding)


def peak_of_many():
    """[MB] peak of the process, [s] it took, and what it said on the way."""
    from labels_table import table

    with tempfile.TemporaryDirectory() as folder:
        ledger = table(Path(folder) / "ledger", BOOK, MANY)
        out = Path(folder) / "labels.pdf"
        start = time.perf_counter()
        done = subprocess.run(
            [sys.executable, "-c", ONE_PROCESS, str(ledger), str(out)],
            capture_output=True, check=True, text=True, cwd=Path(__file__).parents[2],
        )  # fmt: skip
        took = time.perf_counter() - start
        unit = 1024.0 if sys.platform == "darwin" else 1.0
        peak = int(done.stdout.split()[-1]) / unit / 1024.0
        return peak, took, out.stat().st_size / 1e6, "Drawing labels" in done.stderr


def main():
    press = Press(
        dpi=300.0,
        one_bit=False,
        fonts=Fonts.of(resources() / "fonts"),
        words=catalogue(resources() / "words"),
    )
    lots = [lot(lot_id=f"QT-L{n:02d}") for n in range(1, SHEET + 1)]
    for name, labels in (("tags of bins", list(tags())), ("labels of lots", lots)):
        drawing, encoding = timed(labels, press)
        print(
            f"{SHEET} {name:15} as a PDF at 300 dpi {1000 * drawing:.0f} ms, their symbols alone "
            f"{1000 * encoding:.0f} ms: {drawing / encoding:.2f} times (goal {GOAL:g})"
        )
    peak, took, size, bar = peak_of_many()
    print(
        f"{MANY} labels: peak {peak:.0f} MB of {MOST_MB:.0f} ({peak / MOST_MB:.2f}), {took:.1f} s, "
        f"file {size:.1f} MB, progress bar {'shown' if bar else 'not shown'}"
    )
    print(f"this process, for comparison: {resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024:.0f} MB")


if __name__ == "__main__":
    main()
