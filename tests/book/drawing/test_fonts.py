import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from intake.drawing.fonts import Fonts, read_characters
from intake.handbook.locate import resources

FACE = Fonts.of(resources() / "fonts").regular


@pytest.mark.parametrize("text", ["Größe", "Ελλάδα", "Стол", "שולחן", "طاولة", "Łódź · №", "½ µm ≥ ≤"])
def test_the_font_has_the_scripts_it_was_chosen_for(text: str) -> None:
    assert FACE.missing(text) == ()
    assert FACE.printable(text) == text


@pytest.mark.parametrize(
    ("text", "shown", "missing"),
    [
        ("卓 A", "? A", ("卓",)),
        ("🧺🧺", "??", ("🧺",)),
        ("👩‍🌾 table", "?\u200d? table", ("👩", "🌾")),
        ("tab\tnew\nline", "tab new line", ("\t", "\n")),
        ("\x00bell\x07", "?bell?", ("\x00", "\x07")),
    ],
)
def test_a_character_without_a_shape_is_a_question_mark_and_is_named(text, shown, missing) -> None:
    assert FACE.printable(text) == shown
    assert set(FACE.missing(text)) == set(missing)


def test_what_the_table_lists_is_drawn_unlike_the_empty_box() -> None:
    """The character table against FreeType, which draws every unknown character as one and the same box."""
    font = FACE.at(40.0)
    box = bytes(font.getmask("卓"))
    sample = sorted(c for c in FACE.characters if 0x21 <= c < 0x600 and not 0x300 <= c < 0x370)
    assert len(sample) > 900
    drawn_as_box = [chr(c) for c in sample if bytes(font.getmask(chr(c))) == box]
    assert drawn_as_box == []
    assert all(bytes(font.getmask(chr(c))) == box for c in range(0x4E00, 0x4E40))
    assert not FACE.characters & set(range(0x4E00, 0x4E40))


@settings(max_examples=60, deadline=None)
@given(text=st.text(max_size=400), cap=st.floats(4, 80), width=st.floats(40, 900))
def test_a_fitted_text_is_never_wider_than_its_room_and_never_a_box(
    text: str, cap: float, width: float
) -> None:
    fitted = FACE.fit(text, cap, width, least=0.3)
    only_dots = fitted.text == "…"
    assert only_dots or fitted.font.getlength(fitted.text) <= width * 1.01
    assert FACE.missing(fitted.text) == ()


@pytest.mark.parametrize("cap", [10.0, 25.0, 60.0, 120.0])
def test_a_capital_is_as_high_as_asked(cap: float) -> None:
    top, bottom = FACE.at(cap).getbbox("H", anchor="ls")[1::2]
    assert bottom - top == pytest.approx(cap, abs=1.0)


def test_a_long_text_shrinks_first_and_is_cut_after_that() -> None:
    short, long = FACE.fit("Quayside", 30, 10_000), FACE.fit("Quayside " * 40, 30, 400)
    assert short.text == "Quayside"
    assert long.text.endswith("…")
    assert long.font.size == pytest.approx(0.6 * short.font.size, rel=0.01)


def test_a_file_that_is_no_font_is_refused() -> None:
    with pytest.raises(ValueError, match="cmap"):
        read_characters(b"\x00\x01\x00\x00\x00\x00" + bytes(40))
