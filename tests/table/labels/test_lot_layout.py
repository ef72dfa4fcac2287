from itertools import combinations

import pytest

from intake.drawing.symbol import MAX_VERSION, QUIET_MODULES
from intake.handbook import Handbook
from intake.table.labels.layout import Part
from intake.table.labels.lot_layout import lot_blocks

STOCKS = Handbook().label_stocks
NAMES = pytest.mark.parametrize("name", sorted(STOCKS))


@NAMES
def test_parts_stay_on_the_label_and_off_each_other(name: str) -> None:
    stock = STOCKS[name]
    parts = lot_blocks(stock)
    for b in parts:
        edge = 0.0 if b.part is Part.SYMBOL else 1.0
        assert b.left_mm >= stock.inset_x_mm * edge - 1e-9
        assert b.left_mm + b.width_mm <= stock.label_width_mm - stock.inset_x_mm * edge + 1e-9
        assert b.top_mm >= stock.inset_y_mm * edge - 1e-9
        assert b.top_mm + b.height_mm <= stock.label_height_mm - stock.inset_y_mm * edge + 1e-9
    for a, b in combinations(parts, 2):
        apart_x = a.left_mm + a.width_mm <= b.left_mm + 1e-9 or b.left_mm + b.width_mm <= a.left_mm + 1e-9
        apart_y = a.top_mm + a.height_mm <= b.top_mm + 1e-9 or b.top_mm + b.height_mm <= a.top_mm + 1e-9
        assert apart_x or apart_y, (a.part, b.part)


@NAMES
def test_every_label_has_what_its_user_must_know(name: str) -> None:
    shown = [b.part for b in lot_blocks(STOCKS[name])]
    assert len(shown) == len(set(shown))
    must = {Part.ID, Part.RESIN, Part.MASS, Part.PURITY, Part.TRACE, Part.FOOD, Part.SYMBOL}
    assert must | {Part.FIRST_CAUTION, Part.SECOND_CAUTION} <= set(shown)


@NAMES
def test_no_row_is_lower_than_its_type_needs(name: str) -> None:
    """Capitals of 1.5 mm are 6 point type (common practice, no source)."""
    assert min(b.cap_mm for b in lot_blocks(STOCKS[name]) if b.cap_mm) >= 1.5


@NAMES
def test_the_lot_id_is_the_largest_type(name: str) -> None:
    parts = {b.part: b.cap_mm for b in lot_blocks(STOCKS[name])}
    assert parts.pop(Part.ID) > max(parts.values())


@NAMES
def test_the_largest_symbol_has_four_dots_a_module_at_the_usual_resolution(name: str) -> None:
    stock = STOCKS[name]
    side = next(b for b in lot_blocks(stock) if b.part is Part.SYMBOL)
    modules = 17 + 4 * MAX_VERSION + 2 * QUIET_MODULES
    assert side.width_mm == pytest.approx(side.height_mm)
    assert side.width_mm * stock.dpi / 25.4 // modules >= 4
