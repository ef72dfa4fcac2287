import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from made_lots import BOOK, LONGEST, lot

from intake.drawing.canvas import SMALLEST_CAP_MM, Canvas, Press
from intake.drawing.fonts import ELLIPSIS, Face, Fonts
from intake.drawing.label import draw_label, unprintable
from intake.handbook.locate import resources
from intake.table.labels.layout import Part
from intake.table.labels.lot_layout import lot_blocks
from intake.words import catalogue

STOCKS = BOOK.label_stocks
FONTS = Fonts.of(resources() / "fonts")
WORDS = catalogue(resources() / "words")
LOTS = {
    "usual": lot(),
    "longest": lot(**LONGEST),
    "styrene": lot("PS", "blue"),
    "no window": lot(window=None),
}


def usual(stock):
    return Press.of(STOCKS[stock], FONTS, WORDS)


def texts_of(monkeypatch, label, stock):
    """Every text that is drawn: as asked, as drawn, and the height of its capitals in mm."""
    told = []
    plain = Face.fit

    def fit(self, text, cap_px, width_px, *, least=0.6):
        fitted = plain(self, text, cap_px, width_px, least=least)
        top, bottom = fitted.font.getbbox("H", anchor="ls")[1::2]
        told.append((text, fitted.text, (bottom - top) * 25.4 / STOCKS[stock].dpi))
        return fitted

    monkeypatch.setattr(Face, "fit", fit)
    draw_label(label, STOCKS[stock], usual(stock))
    monkeypatch.undo()
    return told


@pytest.mark.parametrize("name", LOTS)
@pytest.mark.parametrize("stock", sorted(STOCKS))
def test_nothing_a_user_must_know_is_cut_or_too_small(monkeypatch, stock: str, name: str) -> None:
    """A quarter below 6 point type is the least, where a sheet of small labels meets the longest values."""
    label = LOTS[name]
    told = texts_of(monkeypatch, label, stock)
    for asked, drawn, cap_mm in told:
        if "Quayside" not in asked:
            assert ELLIPSIS not in drawn
        assert cap_mm >= 0.75 * SMALLEST_CAP_MM, asked
    said = " ".join(drawn for _, drawn, _ in told)
    must = (
        label.lot_id, label.mark, label.date, label.bin_id, label.edition, "Not for food contact", "Net ",
        "Purity ", WORDS(f"colour.{label.colour}"), WORDS(f"flow.{label.flow}"),
        *(WORDS(f"label.caution.{c}") for c in label.cautions),
        "Do not heat" if label.window is None else f"Oven {label.window.low_c:.0f}–{label.window.high_c:.0f} °C",
    )  # fmt: skip
    assert [m for m in must if m not in said] == []


@pytest.mark.parametrize("dpi", [203.0, 300.0, 600.0])
@pytest.mark.parametrize("stock", sorted(STOCKS))
def test_an_image_has_the_physical_size_of_its_stock(stock: str, dpi: float) -> None:
    press = Press(dpi=dpi, one_bit=False, fonts=FONTS, words=WORDS)
    image = draw_label(lot(), STOCKS[stock], press)
    found_mm = [side * 25.4 / dpi for side in image.size]
    assert found_mm == pytest.approx([STOCKS[stock].label_width_mm, STOCKS[stock].label_height_mm], abs=0.2)


@pytest.mark.parametrize("stock", sorted(STOCKS))
def test_ink_stays_off_the_edge_of_the_label(stock: str) -> None:
    row, press = STOCKS[stock], usual(stock)
    label = lot(**LONGEST, name="n" * 400)
    left, top, right, bottom = (
        draw_label(label, row, press).convert("L").point(lambda v: 255 * (v < 200)).getbbox()
    )
    free_x, free_y = press.px(row.inset_x_mm) - 1, press.px(row.inset_y_mm) - 1
    assert left >= free_x
    assert right <= press.px(row.label_width_mm) - min(free_x, free_y)
    assert top >= free_y - 1
    assert bottom <= press.px(row.label_height_mm) - free_y


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
    plain, named = (
        draw_label(label, row, press).convert("L") for label in (lot(table=""), lot(table="", name=name))
    )
    block = next(b for b in lot_blocks(row) if b.part is Part.TRACE)
    slack = 0.6 * block.height_mm
    right, bottom = block.left_mm + block.width_mm, block.top_mm + block.height_mm
    box = (block.left_mm - 0.5, block.top_mm - slack, right + 0.5, bottom + slack)
    for image in (plain, named):
        image.paste(255, tuple(press.px(v) for v in box))
    assert plain.tobytes() == named.tobytes()


@settings(max_examples=20, deadline=None)
@given(name=st.text(max_size=60), table=st.text(max_size=60))
def test_whatever_people_type_a_label_comes_out(name: str, table: str) -> None:
    assert draw_label(lot(name=name, table=table), STOCKS["letter-3x10"], usual("letter-3x10")).mode == "RGB"


@pytest.mark.parametrize(("name", "missing"), [("Stół", ()), ("分 類", ("分", "類")), ("🧺", ("🧺",))])
def test_what_cannot_be_printed_is_named(name: str, missing: tuple[str, ...]) -> None:
    assert unprintable(lot(name=name), FONTS) == missing


def test_black_only_has_no_grey() -> None:
    assert draw_label(lot(colour="blue"), STOCKS["roll-80"], usual("roll-80")).mode == "1"


def test_the_swatch_is_the_colour_of_the_group_and_mixed_has_none() -> None:
    counts = []
    for colour in ("blue", "mixed"):
        image = draw_label(lot(colour=colour), STOCKS["single"], usual("single"))
        blue = BOOK.colours.swatches["blue"]  # type: ignore[index]
        counts.append(sum(n for n, rgb in image.getcolors(1 << 24) if rgb == blue))
    assert counts[0] > 1000
    assert counts[1] == 0


def test_a_canvas_tells_whether_a_text_fits_before_it_is_written() -> None:
    block = next(b for b in lot_blocks(STOCKS["single"]) if b.part is Part.TRACE)
    canvas = Canvas(STOCKS["single"], usual("single"))
    assert canvas.fits("short", FONTS.regular, block)
    assert not canvas.fits("long " * 60, FONTS.regular, block)
