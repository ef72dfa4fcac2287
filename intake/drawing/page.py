"""A page to hang up or hand over, painted in millimetres: text that wraps, smooth shapes, patterns.

Shapes are painted three times as fine and reduced, so that no edge is stepped at 300 dots an inch.
"""

import re
from collections.abc import Callable, Sequence

from PIL import Image, ImageChops, ImageDraw

from intake.drawing.canvas import MM_PER_INCH
from intake.drawing.fonts import Face, Fonts
from intake.drawing.ink import COLOURS, Paper, Pattern, Rect, Tone
from intake.drawing.paths import Point

DPI = 300.0
_FINE = 3
_LEADING = 1.95
"""[-] line distance / cap height."""


class Page:
    """One page in colour, at 300 dots an inch; all lengths in [mm]."""

    def __init__(self, paper: Paper, fonts: Fonts) -> None:
        self.paper, self._fonts = paper, fonts
        self.width_mm, self.height_mm = paper.size_mm
        self.image = Image.new("RGB", (self.px(self.width_mm), self.px(self.height_mm)), "white")
        self._draw = ImageDraw.Draw(self.image)

    @staticmethod
    def px(length_mm: float) -> int:
        """A length in whole pixels."""
        return round(length_mm * DPI / MM_PER_INCH)

    @property
    def bold(self) -> Face:
        """The bold face, for what is painted elsewhere."""
        return self._fonts.bold

    def text(
        self, text: str, left: float, base: float, cap: float, *, bold: bool = False, tone: Tone = Tone.INK,
        width: float | None = None, anchor: str = "l",
    ) -> float:  # fmt: skip
        """Write one line and return its width [mm].

        Args:
            text: characters the font lacks become `?`.
            left: [mm] where it begins; its middle or end for another anchor.
            base: [mm] base line.
            cap: [mm] height of a capital.
            bold: in the bold face.
            tone: its colour.
            width: [mm] it is shrunk to six tenths to fit, then cut; None: as wide as it gets.
            anchor: `l`, `m` or `r`.
        """
        face = self._face(bold=bold)
        room = self.px(width) if width is not None else 10 * self.image.width
        fitted = face.fit(text, cap * DPI / MM_PER_INCH, room)
        self._draw.text((self.px(left), self.px(base)), fitted.text, COLOURS[tone], fitted.font, f"{anchor}s")
        return fitted.font.getlength(fitted.text) * MM_PER_INCH / DPI

    def lines(self, text: str, width: float, cap: float, *, bold: bool = False) -> list[str]:
        """`text` broken at spaces into lines no wider than `width` [mm]; a longer word is broken where it must."""
        face, room = self._face(bold=bold), width * DPI / MM_PER_INCH
        font = face.at(cap * DPI / MM_PER_INCH)
        done, line = [], ""
        for word in (
            piece for w in _words(text) for piece in _pieces(face.printable(w), font.getlength, room)
        ):
            longer = f"{line} {word}".strip()
            if line and font.getlength(longer) > room:
                done.append(line)
                line = word
            else:
                line = longer
        return [*done, line] if line else done

    def paragraph(
        self,
        text: str,
        box: Rect,
        cap: float,
        *,
        bold: bool = False,
        tone: Tone = Tone.INK,
        most: int | None = None,
    ) -> float:
        """Write text that wraps and return [mm] where the next thing may stand; beyond `most` lines it is cut."""
        found, base = self.lines(text, box.width, cap, bold=bold), box.top + cap
        for line in found if most is None else found[:most]:
            cut = most is not None and len(found) > most and line is found[most - 1]
            self.text(line + "…" if cut else line, box.left, base, cap, bold=bold, tone=tone, width=box.width)
            base += _LEADING * cap
        return base - cap

    def height(self, text: str, width: float, cap: float, *, bold: bool = False) -> float:
        """[mm] What a paragraph takes, its line distance behind it included."""
        return len(self.lines(text, width, cap, bold=bold)) * _LEADING * cap

    def box(
        self,
        rect: Rect,
        *,
        fill: Tone | None = None,
        line: Tone | None = None,
        radius: float = 0.0,
        pen: float = 0.3,
    ) -> None:
        """A rectangle with round corners."""
        place = [self.px(v) for v in (rect.left, rect.top, rect.right, rect.bottom)]
        self._draw.rounded_rectangle(
            (place[0], place[1], place[2] - 1, place[3] - 1), self.px(radius), COLOURS[fill] if fill else None,
            COLOURS[line] if line else None, max(1, self.px(pen)),
        )  # fmt: skip

    def shape(self, points: Sequence[Point], tone: Tone, pattern: Pattern = Pattern.SOLID) -> None:
        """Fill a polygon."""
        self._mask(
            points, 0.0, tone, pattern, lambda draw, at: draw.polygon([at(p) for p in points], fill=255)
        )

    def stroke(self, points: Sequence[Point], pen: float, tone: Tone = Tone.ACTION) -> None:
        """A line with round ends and corners, `pen` [mm] thick."""
        wide = max(1, round(pen * DPI * _FINE / MM_PER_INCH))

        def paint(draw: ImageDraw.ImageDraw, at: "_At") -> None:
            places = [at(p) for p in points]
            draw.line(places, fill=255, width=wide, joint="curve")
            for x, y in (places[0], places[-1]):
                draw.ellipse((x - wide / 2, y - wide / 2, x + wide / 2, y + wide / 2), fill=255)

        self._mask(points, pen, tone, Pattern.SOLID, paint)

    def paste(self, image: Image.Image, left: float, top: float) -> None:
        """An image as it is, its corner at a place."""
        self.image.paste(image, (self.px(left), self.px(top)))

    def stamp(self, mask: Image.Image, left: float, top: float, tone: Tone = Tone.INK) -> None:
        """Colour where a mask is."""
        self.image.paste(COLOURS[tone], (self.px(left), self.px(top)), mask)

    def _face(self, *, bold: bool) -> Face:
        return self._fonts.bold if bold else self._fonts.regular

    def _mask(
        self, points: Sequence[Point], pen: float, tone: Tone, pattern: Pattern,
        paint: Callable[[ImageDraw.ImageDraw, "_At"], None],
    ) -> None:  # fmt: skip
        """Paint finely into a mask around the points, reduce it, and colour the page through it."""
        edge = pen + 1.0
        left, top = min(x for x, _ in points) - edge, min(y for _, y in points) - edge
        wide, high = max(x for x, _ in points) + edge - left, max(y for _, y in points) + edge - top
        corner = (self.px(left), self.px(top))
        size = (max(1, self.px(wide)), max(1, self.px(high)))
        mask = Image.new("L", (size[0] * _FINE, size[1] * _FINE), 0)
        scale = DPI / MM_PER_INCH

        def at(point: Point) -> Point:
            return (point[0] * scale - corner[0]) * _FINE, (point[1] * scale - corner[1]) * _FINE

        paint(ImageDraw.Draw(mask), at)
        mask = mask.reduce(_FINE)
        if pattern is not Pattern.SOLID:
            mask = ImageChops.multiply(mask, _patterned(pattern, mask.size, corner))
        self.image.paste(COLOURS[tone], corner, mask)


_AMOUNT = re.compile(r"(\d) (mm|cm|mL|L|g|kg|min|%|°C|g/cm3)\b")


def _words(text: str) -> list[str]:
    """The words of a text; a number keeps its unit."""
    glued = _AMOUNT.sub("\\1\u00a0\\2", text)
    return [word for word in re.split(r"[ \t\r\n]+", glued) if word]


_At = Callable[[Point], Point]


def _pieces(word: str, length: Callable[[str], float], room: float) -> list[str]:
    """A word in pieces that fit."""
    pieces = []
    while word and length(word) > room:
        fits = next((n for n in range(len(word) - 1, 0, -1) if length(word[:n]) <= room), 1)
        pieces.append(word[:fits])
        word = word[fits:]
    return [*pieces, word] if word else pieces


def _patterned(pattern: Pattern, size: tuple[int, int], corner: tuple[int, int]) -> Image.Image:
    """A mask of the pattern: white where colour goes; it stands still on the page whatever shape it fills."""
    step = round(1.6 * DPI / MM_PER_INCH)
    tile = Image.new("L", (step, step), 255)
    draw = ImageDraw.Draw(tile)
    if pattern is Pattern.STRIPES:
        draw.rectangle((0, 0, step, round(0.3 * step)), fill=70)
    elif pattern is Pattern.HATCH:
        for offset in (-step, 0, step):
            draw.line((offset, step, offset + step, 0), fill=70, width=round(0.28 * step))
    else:
        tile.paste(90, (0, 0, step, step))
        draw.ellipse((0.2 * step, 0.2 * step, 0.75 * step, 0.75 * step), fill=255)
    whole = Image.new("L", size)
    for x in range(-(corner[0] % step), size[0], step):
        for y in range(-(corner[1] % step), size[1], step):
            whole.paste(tile, (x, y))
    return whole
