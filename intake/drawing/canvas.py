"""A label while it is being painted: the press, and an image with a pen that writes in blocks of millimetres."""

from dataclasses import dataclass
from functools import cached_property

from PIL import Image, ImageDraw, ImageFont

from intake.drawing.fonts import Face, Fonts
from intake.errors import BadInput
from intake.table.labels.layout import Block, LabelStock
from intake.words import Words

MM_PER_INCH = 25.4
MAX_DPI = 1200.0
SMALLEST_CAP_MM = 1.5
"""[mm] capitals of 6 point type; a text that would need smaller ones is cut."""


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


class Canvas:
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

    def fits(self, text: str, face: Face, block: Block) -> bool:
        """True where the text stands in the block without being cut."""
        least = min(1.0, SMALLEST_CAP_MM / block.cap_mm)
        width = face.at(self.press.px(block.cap_mm) * least).getlength(face.printable(text))
        return width <= self.press.px(block.width_mm)

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


def _base(font: ImageFont.FreeTypeFont, middle_px: int) -> float:
    """Base line on which capitals stand centred about `middle_px`."""
    top, bottom = font.getbbox("H", anchor="ls")[1::2]
    return middle_px - (top + bottom) / 2
