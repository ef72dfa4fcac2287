"""The card that hangs at the table: one page, read from a metre, fine in black only.

The parts stand under each other; where they are too high for the paper, everything is set a little smaller.
"""

from collections.abc import Callable, Iterator, Sequence
from itertools import islice

from PIL import Image

from intake.drawing.canvas import MM_PER_INCH
from intake.drawing.card_page import CardPage, CardTest, Wanted
from intake.drawing.fonts import Fonts
from intake.drawing.ink import Paper, Rect, Tone
from intake.drawing.page import DPI, Page
from intake.drawing.parts import DOT
from intake.drawing.pictures import draw_picture
from intake.drawing.sketches import draw_sketch
from intake.drawing.symbol import encode, paint
from intake.drawing.triangle import triangle
from intake.errors import Refusal

MARGIN = 10.0
CAP = 4.0
"""[mm] capitals of the text. Signs are made legible at 7.6 m a 25 mm of letter height (common practice), so a metre
needs 3.3 mm; nothing on the card is smaller than `SMALLEST`."""
SMALLEST = 3.3
_KIND = 33.0
"""[mm] what one kind with its drawing needs."""
_TRIES = (
    (1, 1.0),
    (1, 0.97),
    (1, 0.94),
    (1, 0.91),
    (2, 1.0),
    (2, 0.97),
    (2, 0.94),
    (2, 0.91),
    (2, 0.88),
    (2, 0.85),
)
"""Plastics in a row, and [-] size of everything, tried one after the other."""
_SYMBOL = 33.0


def draw_card(card: CardPage, paper: Paper, fonts: Fonts) -> Image.Image:
    """The card in colour at 300 dots an inch.

    Raises:
        BadInput: the address does not fit a symbol.
        Refusal: there is more on the card than a page read from a metre can hold.
    """
    for columns, size in _TRIES:
        page = Page(paper, fonts)
        if _Card(page, card, CAP * size, columns).drawn() <= page.height_mm - MARGIN + 0.5:
            return page.image
    raise Refusal(
        "There is more to say than a page read from a metre can hold. Name fewer resins in the campaign."
    )


class _Card:
    """One try at a size; every part begins where the one above it ended."""

    def __init__(self, page: Page, card: CardPage, cap: float, columns: int) -> None:
        self.page, self.card, self.cap = page, card, cap
        self.columns = min(columns, len(card.wanted))
        self.small = max(0.86 * cap, SMALLEST)
        self.left, self.wide = MARGIN, page.width_mm - 2 * MARGIN
        self.top = MARGIN

    def drawn(self) -> float:
        """[mm] The lower end of the last part."""
        parts: Sequence[Callable[[], float]] = (
            self._head,
            self._take,
            self._refuse,
            self._tests,
            self._last,
            self._foot,
        )
        for part in parts:
            self.top = part()
        return self.top

    def _head(self) -> float:
        page, card, cap = self.page, self.card, 1.8 * self.cap
        page.text(card.title, self.left, self.top + cap, cap, bold=True, width=self.wide)
        base = self.top + cap + 2.4 + self.small
        page.text(card.table, self.left, base, self.small, tone=Tone.MUTED, width=self.wide)
        return base + 4.0

    def _wall(self, word: str, tone: Tone, height: float) -> Rect:
        """A bar of colour with a word; returns the bar."""
        bar = Rect(self.left, self.top, self.wide, height)
        self.page.box(bar, fill=tone, radius=2.5)
        base = bar.top + (height + 1.4 * self.cap) / 2
        self.page.text(
            word, bar.left + 14.0, base, 1.4 * self.cap, bold=True, tone=Tone.WHITE, width=self.wide - 18.0
        )
        return bar

    def _take(self) -> float:
        """What is taken, each with its number in a triangle and drawings of what it mostly is."""
        bar = self._wall(self.card.take, Tone.ACCEPT, 2.7 * self.cap)
        check = [(bar.left + 4.0, bar.top + 0.52 * bar.height), (bar.left + 6.6, bar.top + 0.7 * bar.height),
                 (bar.left + 11.0, bar.top + 0.3 * bar.height)]  # fmt: skip
        self.page.stroke(check, 1.3, Tone.WHITE)
        top = bar.bottom + 2.6
        wide = self.wide / self.columns
        for row in _rows(self.card.wanted, self.columns):
            top = max([self._wanted(one, self.left + n * wide, wide, top) for n, one in enumerate(row)])
        return top + 1.0

    def _wanted(self, one: Wanted, left: float, wide: float, top: float) -> float:
        """One plastic in a row of that width: as many kinds as there is room for."""
        page, cap = self.page, self.cap
        side, mark = 4.6 * cap, 30.0
        if one.code is not None:
            mask = triangle(one.code, page.px(3.4 * cap), page.bold)
            page.stamp(mask, left + 1.0 + (26.0 - mask.width * MM_PER_INCH / DPI) / 2, top)
        page.text(
            one.resin, left + 14.0, top + side + 0.6 * cap, cap, bold=True, anchor="m", width=mark - 3.0
        )
        names = one.kinds[: int((wide - mark) / _KIND)]
        room = (wide - mark) / max(len(names), 1)
        lines = 1
        for number, (picture, name) in enumerate(names):
            middle = left + mark + (number + 0.5) * room
            draw_picture(page, picture, middle - side / 2, top - 0.2 * cap, side)
            found = page.lines(name, room - 2.0, self.small)[:2]
            lines = max(lines, len(found))
            for row, line in enumerate(found):
                base = top + side + self.small + row * 1.6 * self.small
                page.text(line, middle, base, self.small, anchor="m", width=room - 1.0)
        return top + side + lines * 1.6 * self.small + 2.2

    def _refuse(self) -> float:
        """What is not taken, with the reason beside it."""
        bar = self._wall(self.card.refuse, Tone.REFUSE, 2.7 * self.cap)
        middle = bar.top + bar.height / 2
        self.page.stroke([(bar.left + 4.0, middle), (bar.left + 11.0, middle)], 1.6, Tone.WHITE)
        top, what = bar.bottom + 3.0, 0.40 * self.wide
        for name, why in self.card.refused:
            first = self.page.paragraph(name, Rect(self.left, top, what - 4.0, 0.0), self.cap, bold=True)
            second = self.page.paragraph(why, Rect(self.left + what, top, self.wide - what, 0.0), self.small)
            top = max(first, second) + 0.3 * self.cap
        return top + 1.4

    def _tests(self) -> float:
        """The two tests side by side."""
        gap = 8.0
        width = (self.wide - gap) / 2
        self.page.box(Rect(self.left, self.top - 1.0, self.wide, 0.3), fill=Tone.LINE)
        self.top += 2.6
        ends = [
            self._test(test, self.left + n * (width + gap), width) for n, test in enumerate(self.card.tests)
        ]
        return max(ends, default=self.top) + 1.2

    def _test(self, test: CardTest, left: float, width: float) -> float:
        page = self.page
        top = (
            page.paragraph(test.question, Rect(left, self.top, width, 0.0), self.cap, bold=True)
            - 0.1 * self.cap
        )
        panels = draw_sketch(page, test.sketch, Rect(left, top, width, 5.6 * self.cap))
        top += 5.6 * self.cap + 2.2
        for panel, (seen, codes) in zip(panels, test.results, strict=True):
            page.text(
                seen,
                panel.left + panel.width / 2,
                top + self.small,
                self.small,
                anchor="m",
                width=panel.width,
            )
            base = top + 1.9 * self.small + self.cap
            numbers = DOT.join(str(code) for code in codes)
            page.text(
                numbers,
                panel.left + panel.width / 2,
                base,
                self.cap,
                bold=True,
                anchor="m",
                width=panel.width,
            )
        below = top + 1.9 * self.small + 1.8 * self.cap
        return page.paragraph(test.how, Rect(left, below, width, 0.0), self.small)

    def _last(self) -> float:
        """Before handing in, the bath, and the symbol to join."""
        self.page.box(Rect(self.left, self.top - 1.0, self.wide, 0.3), fill=Tone.LINE)
        self.top += 2.6
        symbol = _SYMBOL if self.card.address else 0.0
        rest = self.wide - symbol - (6.0 if symbol else 0.0)
        first = 0.46 * rest
        ends = [self._before(self.left, first - 4.0), self._bath(self.left + first, rest - first)]
        if symbol:
            ends.append(self._join(self.left + self.wide - symbol))
        return max(ends) + 0.6

    def _before(self, left: float, width: float) -> float:
        """The steps, each with a box to tick."""
        page, small = self.page, self.small
        top = page.paragraph(self.card.before, Rect(left, self.top, width, 0.0), self.cap, bold=True)
        for step in self.card.steps:
            square = Rect(left + 0.2, top + 0.1, small, small)
            page.stroke(square.outline, 0.5, Tone.INK)
            top = page.paragraph(step, Rect(left + small + 2.6, top, width - small - 2.6, 0.0), small)
        return top

    def _bath(self, left: float, width: float) -> float:
        title, text = self.card.bath
        top = self.page.paragraph(title, Rect(left, self.top, width, 0.0), self.cap, bold=True)
        return self.page.paragraph(text, Rect(left, top, width, 0.0), self.small)

    def _join(self, left: float) -> float:
        image = paint(encode(self.card.address), self.page.px(_SYMBOL))
        self.page.paste(image.convert("RGB"), left, self.top - 1.5)
        top = self.top + image.height * MM_PER_INCH / DPI
        return self.page.paragraph(self.card.join, Rect(left, top, _SYMBOL, 0.0), self.small)

    def _foot(self) -> float:
        end = self.page.paragraph(
            self.card.cautions, Rect(self.left, self.top, self.wide, 0.0), self.small, bold=True
        )
        return end - 0.9 * self.small


def _rows(wanted: Sequence[Wanted], size: int) -> Iterator[tuple[Wanted, ...]]:
    """The plastics row by row."""
    source = iter(wanted)
    while row := tuple(islice(source, size)):
        yield row
