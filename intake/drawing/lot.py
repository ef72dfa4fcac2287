"""The label of a closed lot as an image; what bears on safety or melting shrinks to fit and is never cut."""

from collections.abc import Callable, Mapping
from types import MappingProxyType

from PIL import Image

from intake.drawing.canvas import Canvas, Press
from intake.drawing.parts import DOT, paint_colour, paint_food, paint_resin, paint_symbol
from intake.table.compat.windows import Window
from intake.table.labels.layout import Block, LabelStock, Part
from intake.table.labels.lot import LotLabel
from intake.table.labels.lot_layout import lot_blocks
from intake.units import temperature_in_f
from intake.words import Words
from intake.words.figures import interval_text, share_span_text


def draw_lot(label: LotLabel, stock: LabelStock, press: Press) -> Image.Image:
    """The label on this stock: RGB, or 1 bit a pixel where the press knows black only.

    Raises:
        BadInput: the payload does not fit the symbol.
    """
    canvas = Canvas(stock, press)
    parts = lot_blocks(stock)
    shown = {b.part for b in parts}
    for block in parts:
        _PAINTERS[block.part](canvas, label, block, shown)
    return canvas.image


def _id(canvas: Canvas, label: LotLabel, block: Block, _shown: set[Part]) -> None:
    """The lot id as large as the row."""
    canvas.text(label.lot_id, canvas.press.fonts.bold, block, cut=False)


def _mass(canvas: Canvas, label: LotLabel, block: Block, _shown: set[Part]) -> None:
    """Net shred mass with its interval."""
    text = canvas.press.words("label.net", mass=interval_text(label.net_g))
    canvas.text(text, canvas.press.fonts.bold, block, cut=False)


def _purity(canvas: Canvas, label: LotLabel, block: Block, shown: set[Part]) -> None:
    """Expected purity; the oven window behind it where it has no row of its own."""
    words = canvas.press.words
    purity = words("label.purity", share=share_span_text(label.purity_share))
    parts = [purity] if Part.OVEN in shown else [purity, _window(label.window, words)]
    canvas.text(DOT.join(parts), canvas.press.fonts.regular, block, cut=False)


def _oven(canvas: Canvas, label: LotLabel, block: Block, _shown: set[Part]) -> None:
    """The oven window in both scales, and the mark as moulded parts carry it."""
    text = DOT.join((_window(label.window, canvas.press.words, both=True), label.mark))
    canvas.text(text, canvas.press.fonts.regular, block, cut=False)


def _window(window: Window | None, words: Words, *, both: bool = False) -> str:
    """The window in words; a lot without one says so."""
    if window is None:
        return words("label.no_window")
    text = words("label.window", low=f"{window.low_c:.0f}", high=f"{window.high_c:.0f}")
    low_f, high_f = (f"{temperature_in_f(v):.0f}" for v in (window.low_c, window.high_c))
    return f"{text} ({words('label.fahrenheit', low=low_f, high=high_f)})" if both else text


def _first(canvas: Canvas, label: LotLabel, block: Block, _shown: set[Part]) -> None:
    """The most important caution."""
    _caution(canvas, label, block, 0)


def _second(canvas: Canvas, label: LotLabel, block: Block, _shown: set[Part]) -> None:
    """The next one, where there is one."""
    _caution(canvas, label, block, 1)


def _caution(canvas: Canvas, label: LotLabel, block: Block, number: int) -> None:
    if number < len(label.cautions):
        text = canvas.press.words(f"label.caution.{label.cautions[number]}")
        canvas.text(text, canvas.press.fonts.bold, block, cut=False)


def _trace(canvas: Canvas, label: LotLabel, block: Block, _shown: set[Part]) -> None:
    """Day, bin and handbook edition, never cut; then the names, so that a long name costs nothing but itself."""
    words, regular = canvas.press.words, canvas.press.fonts.regular
    facts = DOT.join(
        (
            label.date,
            words("label.from_bin", bin=label.bin_id),
            words("label.edition", edition=label.edition),
        )
    )
    named = DOT.join(p for p in (facts, label.name, label.table) if p.strip())
    if canvas.fits(facts + DOT + "mmm", regular, block):
        canvas.text(named, regular, block)
    else:
        canvas.text(facts, regular, block, cut=False)


_PAINTERS: Mapping[Part, Callable[[Canvas, LotLabel, Block, set[Part]], None]] = MappingProxyType(
    {
        Part.ID: _id,
        Part.RESIN: paint_resin,
        Part.COLOUR: paint_colour,
        Part.MASS: _mass,
        Part.PURITY: _purity,
        Part.OVEN: _oven,
        Part.FIRST_CAUTION: _first,
        Part.SECOND_CAUTION: _second,
        Part.TRACE: _trace,
        Part.FOOD: paint_food,
        Part.SYMBOL: paint_symbol,
    }
)
