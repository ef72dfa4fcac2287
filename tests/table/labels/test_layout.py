from dataclasses import replace
from itertools import combinations

import pytest

from intake.errors import BadInput, HandbookGap
from intake.handbook import Handbook
from intake.handbook import figures as figures_module
from intake.handbook.labels import read_label_stocks
from intake.table.labels.layout import LabelStock, Part, blocks

STOCKS = Handbook().label_stocks
NAMES = pytest.mark.parametrize("name", sorted(STOCKS))


def by_part(stock: LabelStock):
    return {b.part: b for b in blocks(stock)}


def test_all_promised_stocks_are_there() -> None:
    assert set(STOCKS) == {"single", "a4-3x8", "letter-3x10", "roll-58", "roll-80"}


@pytest.mark.parametrize(
    ("name", "page", "grid"),
    [
        pytest.param("a4-3x8", (210.0, 297.0), (8, 3), id="ISO 216 A4"),
        pytest.param("letter-3x10", (8.5 * 25.4, 11 * 25.4), (10, 3), id="ANSI Letter, 8.5 × 11 in"),
        pytest.param("roll-58", (58.0, 88.0), (1, 1), id="58 mm thermal paper, common practice, no source"),
        pytest.param("roll-80", (80.0, 58.0), (1, 1), id="80 mm thermal paper, common practice, no source"),
        pytest.param("single", (100.0, 62.0), (1, 1), id="62 mm endless paper, common practice, no source"),
    ],
)
def test_pages_have_the_size_of_their_paper(
    name: str, page: tuple[float, float], grid: tuple[int, int]
) -> None:
    stock = STOCKS[name]
    assert (stock.page_width_mm, stock.page_height_mm) == pytest.approx(page)
    assert (stock.rows, stock.columns) == grid


@NAMES
def test_a_sheet_lies_in_the_middle_of_its_page(name: str) -> None:
    stock = STOCKS[name]
    last_left, last_top = stock.place_mm(stock.per_page - 1)
    right_mm = stock.page_width_mm - last_left - stock.label_width_mm
    bottom_mm = stock.page_height_mm - last_top - stock.label_height_mm
    assert right_mm == pytest.approx(stock.margin_left_mm, abs=0.06)
    assert bottom_mm == pytest.approx(stock.margin_top_mm, abs=0.06)


@NAMES
def test_labels_of_a_page_do_not_overlap(name: str) -> None:
    stock = STOCKS[name]
    places = [stock.place_mm(i) for i in range(stock.per_page)]
    for (x, y), (u, v) in combinations(places, 2):
        assert abs(x - u) >= stock.label_width_mm - 1e-9 or abs(y - v) >= stock.label_height_mm - 1e-9


@NAMES
def test_parts_stay_on_the_label_and_off_each_other(name: str) -> None:
    stock = STOCKS[name]
    parts = blocks(stock)
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


@pytest.mark.parametrize("name", ["single", "a4-3x8", "roll-58", "roll-80"])
def test_the_bin_id_is_read_from_two_metres_where_the_stock_has_room(name: str) -> None:
    """Cap height / distance 1:167; 1:200 is a rule of sign makers (common practice, no source)."""
    assert by_part(STOCKS[name])[Part.ID].cap_mm >= 12.0


@NAMES
def test_facts_are_set_no_smaller_than_six_point_type(name: str) -> None:
    assert all(b.cap_mm >= 1.5 - 1e-9 for b in blocks(STOCKS[name]) if b.part is not Part.SYMBOL)


@NAMES
def test_a_symbol_of_version_6_has_three_dots_a_module_or_more(name: str) -> None:
    stock = STOCKS[name]
    modules = 41 + 2 * 4
    side_mm = by_part(stock)[Part.SYMBOL].width_mm
    dots = int(side_mm * stock.dpi / 25.4) // modules
    assert dots >= 3
    assert dots * 25.4 / stock.dpi >= 0.33


@NAMES
def test_every_stock_shows_the_warning_and_the_resin(name: str) -> None:
    assert {Part.ID, Part.RESIN, Part.COLOUR, Part.TABLE, Part.FOOD, Part.SYMBOL} <= set(
        by_part(STOCKS[name])
    )


@pytest.mark.parametrize(
    "wrong",
    [
        {"columns": 4},
        {"rows": 0},
        {"margin_top_mm": 26.0},
        {"label_width_mm": 0.0},
        {"page_width_mm": float("nan")},
        {"dpi": float("inf")},
    ],
)
def test_a_stock_whose_labels_leave_the_page_is_refused(wrong) -> None:
    with pytest.raises(BadInput, match="Label stock a4-3x8"):
        replace(STOCKS["a4-3x8"], **wrong)


@pytest.mark.parametrize(
    ("change", "told"),
    [
        ({"rows": 9}, "labels inside the page"),
        ({"pitch_x_mm": None}, "values for pitch_x_mm"),
        ({"basis": "x"}, "a basis"),
    ],
)
def test_a_faulty_row_of_the_table_is_told_with_its_place(monkeypatch, change, told) -> None:
    data = figures_module.read_toml(figures_module.resources() / "label_stock.toml")
    row = {**data["stocks"]["a4-3x8"], **change}
    data["stocks"] = {"a4-3x8": {k: v for k, v in row.items() if v is not None}}
    monkeypatch.setattr(figures_module, "read_toml", lambda _path: data)
    with pytest.raises(HandbookGap, match=told):
        read_label_stocks()
