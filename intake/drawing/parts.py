"""The parts that tags and labels of lots share: id, resin, colour, the food warning and the symbol."""

from intake.drawing.canvas import MM_PER_INCH, Canvas
from intake.drawing.symbol import encode, paint
from intake.drawing.triangle import triangle
from intake.table.bins.light import Rgb
from intake.table.labels.layout import Block, Part
from intake.table.labels.lot import LotLabel
from intake.table.labels.tag import BinTag
from intake.words import Words

Label = BinTag | LotLabel
DOT = " · "


def paint_resin(canvas: Canvas, label: Label, block: Block, shown: set[Part]) -> None:
    """Code triangle and resin; where colour has no row of its own, the mark in its place and colour behind it."""
    bold, start_mm = canvas.press.fonts.bold, 0.0
    if label.code is not None:
        high_mm = 0.84 * block.height_mm
        mask = triangle(label.code, canvas.press.px(high_mm), bold)
        canvas.mask(mask, block.left_mm, block.top_mm + (block.height_mm - high_mm) / 2)
        start_mm = mask.width * MM_PER_INCH / canvas.press.dpi + 0.18 * block.height_mm
    words = [str(label.resin)]
    if Part.COLOUR not in shown:
        words = [
            label.mark,
            canvas.press.words(f"colour.{label.colour}"),
            *flow_words(label, canvas.press.words),
        ]
    canvas.text(DOT.join(words), bold, block, left_mm=start_mm, cut=False)


def paint_colour(canvas: Canvas, label: Label, block: Block, shown: set[Part]) -> None:
    """Swatch and colour name; the flow class too where it has no row of its own."""
    start_mm, press = 0.0, canvas.press
    if label.swatch is not None and not press.one_bit:
        start_mm = _swatch(canvas, label.swatch, block)
    words = [press.words(f"colour.{label.colour}")]
    if Part.FLOW not in shown:
        words += flow_words(label, press.words)
    canvas.text(DOT.join(words), press.fonts.bold, block, left_mm=start_mm, cut=False)


def _swatch(canvas: Canvas, rgb: Rgb, block: Block) -> float:
    """A bar of colour with a thin black edge; returns [mm] where text may begin."""
    px, high_mm = canvas.press.px, 0.74 * block.height_mm
    left, top = px(block.left_mm), px(block.top_mm + (block.height_mm - high_mm) / 2)
    box = (left, top, left + px(1.9 * high_mm), top + px(high_mm))
    canvas.draw.rounded_rectangle(box, px(0.2 * high_mm), rgb, canvas.ink, max(1, px(0.2)))
    return 1.9 * high_mm + 0.4 * block.height_mm


def flow_words(label: Label, words: Words) -> list[str]:
    """The flow class in words, and `filled`."""
    return [words(f"flow.{label.flow}"), *([words("label.filled")] if label.filled else [])]


def paint_food(canvas: Canvas, _label: Label, block: Block, _shown: set[Part]) -> None:
    """The warning, white on a black bar, so that it is seen on any printer."""
    px = canvas.press.px
    left, top = px(block.left_mm), px(block.top_mm + 0.08 * block.height_mm)
    canvas.draw.rectangle(
        (left, top, left + px(block.width_mm) - 1, px(block.top_mm + 0.92 * block.height_mm)), canvas.ink
    )
    canvas.reversed_text(canvas.press.words("label.not_food"), canvas.press.fonts.bold, block)


def paint_symbol(canvas: Canvas, label: Label, block: Block, _shown: set[Part]) -> None:
    """The symbol, in the middle of its square."""
    px = canvas.press.px
    image = paint(encode(label.payload.text), px(block.width_mm))
    spare = px(block.width_mm) - image.width
    canvas.image.paste(image, (px(block.left_mm) + spare // 2, px(block.top_mm) + spare // 2))
