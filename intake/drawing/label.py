"""One label, of an open bin or of a lot, as an image at the printer's own resolution."""

from collections.abc import Callable, Mapping
from types import MappingProxyType

from PIL import Image

from intake.drawing.canvas import Canvas, Press
from intake.drawing.fonts import Fonts
from intake.drawing.lot import draw_lot
from intake.drawing.parts import (
    DOT,
    Label,
    flow_words,
    paint_colour,
    paint_food,
    paint_resin,
    paint_symbol,
)
from intake.table.labels.layout import Block, LabelStock, Part, blocks
from intake.table.labels.tag import BinTag


def draw_label(label: Label, stock: LabelStock, press: Press) -> Image.Image:
    """The label on this stock, whichever it is.

    Raises:
        BadInput: the payload does not fit the symbol.
    """
    return draw_tag(label, stock, press) if isinstance(label, BinTag) else draw_lot(label, stock, press)


def draw_tag(tag: BinTag, stock: LabelStock, press: Press) -> Image.Image:
    """The tag on this stock: RGB, or 1 bit a pixel where the press knows black only.

    Raises:
        BadInput: the payload does not fit the symbol.
    """
    canvas = Canvas(stock, press)
    parts = blocks(stock)
    shown = {b.part for b in parts}
    for block in parts:
        _PAINTERS[block.part](canvas, tag, block, shown)
    return canvas.image


def unprintable(label: Label, fonts: Fonts) -> tuple[str, ...]:
    """The characters of the label's names that the font has no shape for; each is printed as `?`."""
    return fonts.regular.missing(f"{label.name}{label.table}")


def _id(canvas: Canvas, tag: BinTag, block: Block, _shown: set[Part]) -> None:
    """The bin id as large as the row; it shrinks but is never cut."""
    canvas.text(tag.bin_id, canvas.press.fonts.bold, block, cut=False)


def _flow(canvas: Canvas, tag: BinTag, block: Block, _shown: set[Part]) -> None:
    """The mark as moulded parts carry it, how the pieces were formed, and whether they are filled."""
    words = [tag.mark, *flow_words(tag, canvas.press.words)]
    canvas.text(DOT.join(words), canvas.press.fonts.regular, block)


def _table(canvas: Canvas, tag: BinTag, block: Block, shown: set[Part]) -> None:
    """Day, name and table; the day first, so that a long name costs nothing but itself."""
    mark = "" if Part.FLOW in shown else tag.mark
    text = DOT.join(part for part in (tag.date, mark, tag.name, tag.table) if part.strip())
    canvas.text(text, canvas.press.fonts.regular, block)


_PAINTERS: Mapping[Part, Callable[[Canvas, BinTag, Block, set[Part]], None]] = MappingProxyType(
    {
        Part.ID: _id,
        Part.RESIN: paint_resin,
        Part.COLOUR: paint_colour,
        Part.FLOW: _flow,
        Part.TABLE: _table,
        Part.FOOD: paint_food,
        Part.SYMBOL: paint_symbol,
    }
)
