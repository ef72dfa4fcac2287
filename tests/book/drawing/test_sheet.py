import io
import subprocess
import tracemalloc

import pytest

from intake.drawing.canvas import Press
from intake.drawing.fonts import Fonts
from intake.drawing.sheet import write_pdf
from intake.errors import BadInput
from intake.handbook import Handbook
from intake.handbook.locate import resources
from intake.table.bins.colour import GroupId
from intake.table.bins.key import BinKey
from intake.table.kinds import Flow
from intake.table.labels.tag import bin_tag
from intake.table.resins import ResinId
from intake.words import catalogue

BOOK = Handbook()
STOCKS = BOOK.label_stocks
FONTS = Fonts.of(resources() / "fonts")
WORDS = catalogue(resources() / "words")
KEY = BinKey(resin=ResinId("PE-HD"), colour=GroupId("natural"), flow=Flow.BLOW)


def tags(count: int):
    for n in range(1, count + 1):
        yield bin_tag(
            f"QT-{n:02d}", KEY, resins=BOOK.resins, colours=BOOK.colours, table="Quayside", date="2026-11-24"
        )


def press(dpi=100.0):
    return Press(dpi=dpi, one_bit=True, fonts=FONTS, words=WORDS)


@pytest.mark.parametrize(
    ("stock", "count", "start", "pages"),
    [
        ("a4-3x8", 1, 1, 1), ("a4-3x8", 24, 1, 1), ("a4-3x8", 25, 1, 2), ("a4-3x8", 24, 2, 2),
        ("a4-3x8", 1, 24, 1), ("a4-3x8", 2, 24, 2), ("letter-3x10", 31, 1, 2), ("roll-58", 3, 1, 3),
        ("single", 2, 1, 2), ("a4-3x8", 0, 1, 0),
    ],
)  # fmt: skip
def test_labels_fill_as_many_pages_as_they_need(stock: str, count: int, start: int, pages: int) -> None:
    out = io.BytesIO()
    assert write_pdf(tags(count), STOCKS[stock], press(), out, start=start) == pages
    if pages:
        done = subprocess.run(["pdfinfo", "-"], input=out.getvalue(), capture_output=True, check=True)
        assert f"Pages:           {pages}\n" in done.stdout.decode()
        assert done.stderr == b""


@pytest.mark.parametrize(("stock", "start"), [("a4-3x8", 0), ("a4-3x8", 25), ("roll-58", 2), ("single", -1)])
def test_a_first_label_that_the_sheet_lacks_is_refused_before_anything_is_written(
    stock: str, start: int
) -> None:
    out = io.BytesIO()
    with pytest.raises(BadInput, match="a label from 1 to"):
        write_pdf(tags(1), STOCKS[stock], press(), out, start=start)
    assert out.getvalue() == b""


def test_progress_is_told_label_by_label() -> None:
    told: list[int] = []
    write_pdf(tags(5), STOCKS["a4-3x8"], press(), io.BytesIO(), on_label=told.append)
    assert told == [1, 2, 3, 4, 5]


def test_the_same_labels_give_the_same_bytes() -> None:
    first, second = io.BytesIO(), io.BytesIO()
    for out in (first, second):
        write_pdf(tags(3), STOCKS["letter-3x10"], press(), out)
    assert first.getvalue() == second.getvalue()


class _Nowhere(io.RawIOBase):
    """A stream that keeps nothing."""

    def write(self, data) -> int:
        return len(data)


def test_memory_does_not_grow_with_the_number_of_pages() -> None:
    peaks, one = [], next(tags(1))
    for count in (48, 480):
        tracemalloc.start()
        write_pdf([one] * count, STOCKS["a4-3x8"], press(), _Nowhere())
        peaks.append(tracemalloc.get_traced_memory()[1])
        tracemalloc.stop()
    assert peaks[1] < 1.5 * peaks[0]
