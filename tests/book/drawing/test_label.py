import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from intake.drawing.canvas import Press
from intake.drawing.fonts import Fonts
from intake.drawing.label import draw_tag, unprintable
from intake.errors import BadInput
from intake.handbook import Handbook
from intake.handbook.locate import resources
from intake.table.bins.colour import GroupId
from intake.table.bins.key import BinKey
from intake.table.kinds import Flow
from intake.table.labels.layout import Part, blocks
from intake.table.labels.tag import bin_tag
from intake.table.resins import ResinId
from intake.words import catalogue

BOOK = Handbook()
STOCKS = BOOK.label_stocks
FONTS = Fonts.of(resources() / "fonts")
WORDS = catalogue(resources() / "words")


def tag(bin_id="QT-04", resin="PE-HD", colour="natural", flow=Flow.BLOW, filled=False, **words):
    key = BinKey(resin=ResinId(resin), colour=GroupId(colour), flow=flow, filled=filled)
    given_words = {"table": "Quayside table", "date": "2026-11-24", **words}
    return bin_tag(bin_id, key, resins=BOOK.resins, colours=BOOK.colours, **given_words)


def usual(stock):
    return Press.of(STOCKS[stock], FONTS, WORDS)


@pytest.mark.parametrize("dpi", [203.0, 300.0, 600.0])
@pytest.mark.parametrize("stock", sorted(STOCKS))
def test_an_image_has_the_physical_size_of_its_stock(stock: str, dpi: float) -> None:
    press = Press(dpi=dpi, one_bit=False, fonts=FONTS, words=WORDS)
    image = draw_tag(tag(), STOCKS[stock], press)
    found_mm = [side * 25.4 / dpi for side in image.size]
    assert found_mm == pytest.approx([STOCKS[stock].label_width_mm, STOCKS[stock].label_height_mm], abs=0.2)


@pytest.mark.parametrize("stock", sorted(STOCKS))
def test_ink_stays_off_the_edge_of_the_label(stock: str) -> None:
    row, press = STOCKS[stock], usual(stock)
    ink = draw_tag(tag("QTXX-9999", name="n" * 400), row, press).convert("L").point(lambda v: 255 * (v < 200))
    left, top, right, bottom = ink.getbbox()  # type: ignore[misc]
    free_x, free_y = press.px(row.inset_x_mm) - 1, press.px(row.inset_y_mm) - 1
    assert left >= free_x
    assert right <= ink.width - min(free_x, free_y)
    assert top >= free_y - 1
    assert bottom <= ink.height - free_y


@pytest.mark.parametrize("stock", ["single", "a4-3x8", "roll-80"])
def test_the_capitals_of_the_printed_id_are_twelve_millimetres_high(stock: str) -> None:
    """The letter T has no tail and no overshoot, so its ink is the cap height."""
    press = usual(stock)
    block = next(b for b in blocks(STOCKS[stock]) if b.part is Part.ID)
    image = draw_tag(tag("TT-11"), STOCKS[stock], press).convert("L")
    box = (
        block.left_mm,
        block.top_mm - 1,
        block.left_mm + block.width_mm,
        block.top_mm + block.height_mm + 1,
    )
    ink = image.crop([max(0, press.px(v)) for v in box]).point(lambda v: 255 * (v < 128)).getbbox()
    assert ink is not None
    assert (ink[3] - ink[1]) * 25.4 / press.dpi >= 11.9


NAMES = [
    pytest.param("n" * 400, id="400 characters"),
    pytest.param("🧺🔵👩‍🌾" * 20, id="emoji"),
    pytest.param("مرحبا بكم في طاولة الفرز", id="Arabic"),
    pytest.param("שולחן המיון של השכונה", id="Hebrew"),
    pytest.param("ab\u202ecd\u2066ef", id="bidi controls"),
    pytest.param("Z\u0300\u0301\u0302" * 60, id="combining marks"),
    pytest.param("line\nbreak\ttab\x00", id="control characters"),
    pytest.param("分类桌", id="a script the font lacks"),
    pytest.param("   ", id="blank"),
    pytest.param("\ud800", id="half a surrogate pair"),
]


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("stock", sorted(STOCKS))
def test_any_name_is_drawn_and_stays_in_its_row(stock: str, name: str) -> None:
    row, press = STOCKS[stock], usual(stock)
    plain, named = (draw_tag(t, row, press).convert("L") for t in (tag(table=""), tag(table="", name=name)))
    block = next(b for b in blocks(row) if b.part is Part.TABLE)
    slack = 0.6 * block.height_mm
    right, bottom = block.left_mm + block.width_mm, block.top_mm + block.height_mm
    box = (block.left_mm - 0.5, block.top_mm - slack, right + 0.5, bottom + slack)
    for image in (plain, named):
        image.paste(255, tuple(press.px(v) for v in box))
    assert plain.tobytes() == named.tobytes()


@settings(max_examples=25, deadline=None)
@given(name=st.text(max_size=60), table=st.text(max_size=60))
def test_whatever_people_type_a_label_comes_out(name: str, table: str) -> None:
    image = draw_tag(tag(name=name, table=table), STOCKS["letter-3x10"], usual("letter-3x10"))
    assert image.mode == "RGB"


@pytest.mark.parametrize(
    ("name", "missing"), [("Stół", ()), ("分 類", ("分", "類")), ("🧺", ("🧺",)), ("שולחן", ())]
)
def test_what_cannot_be_printed_is_named(name: str, missing: tuple[str, ...]) -> None:
    assert unprintable(tag(name=name), FONTS) == missing


def test_black_only_has_no_grey_and_no_swatch() -> None:
    image = draw_tag(tag(colour="blue"), STOCKS["roll-80"], usual("roll-80"))
    assert image.mode == "1"


def test_the_swatch_is_the_colour_of_the_group_and_mixed_has_none() -> None:
    blue = BOOK.colours.swatches[GroupId("blue")]
    painted = draw_tag(tag(colour="blue"), STOCKS["single"], usual("single"))
    assert blue in {colour for _, colour in painted.getcolors(70_000) or ()}
    mixed = draw_tag(tag(colour="mixed"), STOCKS["single"], usual("single"))
    assert all(r == g == b for _, (r, g, b) in mixed.getcolors(70_000) or ())


@pytest.mark.parametrize(
    "change",
    [
        {"resin": "PP"},
        {"colour": "white"},
        {"flow": Flow.FILM},
        {"filled": True},
        {"date": "2026-11-25"},
        {"bin_id": "QT-05"},
    ],
    ids=lambda c: next(iter(c)),
)
@pytest.mark.parametrize("stock", sorted(STOCKS))
def test_every_fact_of_the_tag_shows_outside_the_symbol(stock: str, change) -> None:
    row, press = STOCKS[stock], usual(stock)
    symbol = next(b for b in blocks(row) if b.part is Part.SYMBOL)
    box = (symbol.left_mm, symbol.top_mm, symbol.left_mm + symbol.width_mm, symbol.top_mm + symbol.height_mm)
    images = [draw_tag(t, row, press).convert("RGB") for t in (tag(), tag(**change))]
    for image in images:
        image.paste((255, 255, 255), tuple(press.px(v) for v in box))
    assert images[0].tobytes() != images[1].tobytes()


@pytest.mark.parametrize("dpi", [0.0, -300.0, 71.0, 5000.0, float("nan"), float("inf")])
def test_a_resolution_no_printer_has_is_refused(dpi: float) -> None:
    with pytest.raises(BadInput, match="dots per inch"):
        Press(dpi=dpi, one_bit=False, fonts=FONTS, words=WORDS)


def test_the_same_tag_is_drawn_the_same_twice() -> None:
    first, second = (draw_tag(tag(), STOCKS["single"], usual("single")).tobytes() for _ in range(2))
    assert first == second
