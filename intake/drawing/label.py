"""One tag as an image at the printer's own resolution."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cached_property
from types import MappingProxyType

from PIL import Image, ImageDraw, ImageFont

from intake.drawing.fonts import Face, Fonts
from intake.drawing.symbol import encode, paint
from intake.drawing.triangle import triangle
from intake.errors import BadInput
from intake.table.bins.colour import Rgb
from intake.table.labels.layout import Block, LabelStock, Part, blocks
from intake.table.labels.tag import BinTag
from intake.words import Words

MM_PER_INCH = 25.4
MAX_DPI = 1200.0
SMALLEST_CAP_MM = 1.5
"""[mm] capitals of 6 point type; a text that would need smaller ones is cut."""
DOT = " · "


@dataclass(frozen=True, slots=True, kw_only=True)
class Press:
    """What labels are printed with: [1/inch] resolution, black only or colour, the type and the words."""

    dpi: float
    one_bit: bool
    fonts: Fonts
    words: Words

    def __post_init__(self) -> None:
        if not 72.0 <= self.dpi <= MAX_DPI:  # noqa: PLR2004
            raise BadInput(where="Resolution", got=self.dpi, expected=f"72 to {MAX_DPI:.0f} dots per inch")

    @classmethod
    def of(cls, stock: LabelStock, fonts: Fonts, words: Words) -> "Press":
        """The press a stock is usually printed with."""
        return cls(dpi=stock.dpi, one_bit=stock.one_bit, fonts=fonts, words=words)

    def px(self, length_mm: float) -> int:
        """A length in whole pixels."""
        return round(length_mm * self.dpi / MM_PER_INCH)


class _Canvas:
    """An image being painted in black, with the press that paints it."""

    def __init__(self, stock: LabelStock, press: Press) -> None:
        size = (press.px(stock.label_width_mm), press.px(stock.label_height_mm))
        self.press = press
        self.paper: int | str = 1 if press.one_bit else "white"
        self.ink: int | str = 0 if press.one_bit else "black"
        self.image = Image.new("1" if press.one_bit else "RGB", size, self.paper)

    @cached_property
    def draw(self) -> ImageDraw.ImageDraw:
        """The pen."""
        return ImageDraw.Draw(self.image)

    def text(self, text: str, face: Face, block: Block, *, left_mm: float = 0.0, cut: bool = True) -> None:
        """Write on one line, upright in the middle of the block; shrunk to fit and then cut, if it may be."""
        px = self.press.px
        least = min(1.0, SMALLEST_CAP_MM / block.cap_mm) if cut else 0.0
        fitted = face.fit(text, px(block.cap_mm), px(block.width_mm - left_mm), least=least)
        base = _base(fitted.font, px(block.top_mm + block.height_mm / 2))
        self.draw.text((px(block.left_mm + left_mm), base), fitted.text, self.ink, fitted.font, "ls")

    def reversed_text(self, text: str, face: Face, block: Block) -> None:
        """Write in the colour of the paper, centred on what is already black."""
        px = self.press.px
        fitted = face.fit(text, px(0.8 * block.cap_mm), 0.94 * px(block.width_mm))
        left = px(block.left_mm + block.width_mm / 2) - fitted.font.getlength(fitted.text) / 2
        base = _base(fitted.font, px(block.top_mm + block.height_mm / 2))
        self.draw.text((left, base), fitted.text, self.paper, fitted.font, "ls")

    def mask(self, mask: Image.Image, left_mm: float, top_mm: float) -> None:
        """Paint ink where the mask is."""
        at = (self.press.px(left_mm), self.press.px(top_mm))
        if self.press.one_bit:
            mask = mask.convert("1", dither=Image.Dither.NONE)
        self.image.paste(self.ink, at, mask)


def draw_tag(tag: BinTag, stock: LabelStock, press: Press) -> Image.Image:
    """The tag on this stock: RGB, or 1 bit a pixel where the press knows black only.

    Raises:
        BadInput: the payload does not fit the symbol.
    """
    canvas = _Canvas(stock, press)
    parts = blocks(stock)
    shown = {b.part for b in parts}
    for block in parts:
        _PAINTERS[block.part](canvas, tag, block, shown)
    return canvas.image


def unprintable(tag: BinTag, fonts: Fonts) -> tuple[str, ...]:
    """The characters of the tag's names that the font has no shape for; each is printed as `?`."""
    return fonts.regular.missing(f"{tag.name}{tag.table}")


def _base(font: ImageFont.FreeTypeFont, middle_px: int) -> float:
    """Base line on which capitals stand centred about `middle_px`."""
    top, bottom = font.getbbox("H", anchor="ls")[1::2]
    return middle_px - (top + bottom) / 2


def _id(canvas: _Canvas, tag: BinTag, block: Block, _shown: set[Part]) -> None:
    """The bin id as large as the row; it shrinks but is never cut."""
    canvas.text(tag.bin_id, canvas.press.fonts.bold, block, cut=False)


def _resin(canvas: _Canvas, tag: BinTag, block: Block, _shown: set[Part]) -> None:
    """Code triangle and resin."""
    bold, start_mm = canvas.press.fonts.bold, 0.0
    if tag.code is not None:
        high_mm = 0.84 * block.height_mm
        mask = triangle(tag.code, canvas.press.px(high_mm), bold)
        canvas.mask(mask, block.left_mm, block.top_mm + (block.height_mm - high_mm) / 2)
        start_mm = mask.width * MM_PER_INCH / canvas.press.dpi + 0.18 * block.height_mm
    canvas.text(tag.resin, bold, block, left_mm=start_mm, cut=False)


def _colour(canvas: _Canvas, tag: BinTag, block: Block, shown: set[Part]) -> None:
    """Swatch and colour name; the flow class too where it has no row of its own."""
    start_mm, press = 0.0, canvas.press
    if tag.swatch is not None and not press.one_bit:
        start_mm = _swatch(canvas, tag.swatch, block)
    words = [press.words(f"colour.{tag.colour}")]
    if Part.FLOW not in shown:
        words += _flow_words(tag, press.words)
    canvas.text(DOT.join(words), press.fonts.bold, block, left_mm=start_mm)


def _swatch(canvas: _Canvas, rgb: Rgb, block: Block) -> float:
    """A bar of colour with a thin black edge; returns [mm] where text may begin."""
    px, high_mm = canvas.press.px, 0.74 * block.height_mm
    left, top = px(block.left_mm), px(block.top_mm + (block.height_mm - high_mm) / 2)
    box = (left, top, left + px(1.9 * high_mm), top + px(high_mm))
    canvas.draw.rounded_rectangle(box, px(0.2 * high_mm), rgb, canvas.ink, max(1, px(0.2)))
    return 1.9 * high_mm + 0.4 * block.height_mm


def _flow(canvas: _Canvas, tag: BinTag, block: Block, _shown: set[Part]) -> None:
    """The mark as moulded parts carry it, how the pieces were formed, and whether they are filled."""
    words = [tag.mark, *_flow_words(tag, canvas.press.words)]
    canvas.text(DOT.join(words), canvas.press.fonts.regular, block)


def _flow_words(tag: BinTag, words: Words) -> list[str]:
    """The flow class in words, and `filled`."""
    return [words(f"flow.{tag.flow}"), *([words("label.filled")] if tag.filled else [])]


def _table(canvas: _Canvas, tag: BinTag, block: Block, shown: set[Part]) -> None:
    """Day, name and table; the day first, so that a long name costs nothing but itself."""
    mark = "" if Part.FLOW in shown else tag.mark
    text = DOT.join(part for part in (tag.date, mark, tag.name, tag.table) if part.strip())
    canvas.text(text, canvas.press.fonts.regular, block)


def _food(canvas: _Canvas, _tag: BinTag, block: Block, _shown: set[Part]) -> None:
    """The warning, white on a black bar, so that it is seen on any printer."""
    px = canvas.press.px
    left, top = px(block.left_mm), px(block.top_mm + 0.08 * block.height_mm)
    canvas.draw.rectangle(
        (left, top, left + px(block.width_mm) - 1, px(block.top_mm + 0.92 * block.height_mm)), canvas.ink
    )
    canvas.reversed_text(canvas.press.words("label.not_food"), canvas.press.fonts.bold, block)


def _symbol(canvas: _Canvas, tag: BinTag, block: Block, _shown: set[Part]) -> None:
    """The symbol, in the middle of its square."""
    px = canvas.press.px
    image = paint(encode(tag.payload.text), px(block.width_mm))
    spare = px(block.width_mm) - image.width
    canvas.image.paste(image, (px(block.left_mm) + spare // 2, px(block.top_mm) + spare // 2))


_PAINTERS: Mapping[Part, Callable[[_Canvas, BinTag, Block, set[Part]], None]] = MappingProxyType(
    {
        Part.ID: _id,
        Part.RESIN: _resin,
        Part.COLOUR: _colour,
        Part.FLOW: _flow,
        Part.TABLE: _table,
        Part.FOOD: _food,
        Part.SYMBOL: _symbol,
    }
)
