import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from intake.errors import BadInput
from intake.table.charge.shape import FORMS, BadShape, shape_cm3

SIZES = st.floats(0.5, 500).map(lambda v: round(v, 2))


@pytest.mark.parametrize(
    ("text", "cm3"),
    [
        # volumes by the textbook formulas of solid geometry
        ("box 300x200x20 mm", 1200.0),
        ("wedge 300x200x20 mm", 600.0),
        ("pyramid 3x4x5 cm", 20.0),
        ("cylinder d10x20 mm", math.pi * 0.5**2 * 2),
        ("cylinder r5x20 mm", math.pi * 0.5**2 * 2),
        ("cone d6x5 cm", math.pi * 3**2 * 5 / 3),
        ("frustum d10xd8x5 cm", math.pi * 5 / 3 * (25 + 20 + 16)),
        ("tube d6xd5x10 cm", math.pi / 4 * (36 - 25) * 10),
        ("sphere d8 cm", math.pi * 8**3 / 6),
        ("dome r4 cm", math.pi * 8**3 / 12),
        ("box 300x200x20 mm - 4*cylinder d10x20 mm", 1200 - 4 * math.pi * 0.25 * 2),
        ("2*(box 1x1x1 cm + sphere r1 cm) - box 1x1x1 cm", 1 + 8 * math.pi / 3),
        ("box 30 cm x 8 in x 20 mm", 30 * 8 * 2.54 * 2),
        ("BOX 1,5 × 2 x 3 cm", 9.0),
        ("box 1x1x1 m", 1e6),
        ('box 1x1x1 "', 2.54**3),
        ("  box 10x10x10mm−box 5x5x5mm ", 0.875),
        ("cylinder ø10x20 mm", math.pi * 0.5),
    ],
)
def test_a_shape_has_the_volume_of_its_formula(text, cm3) -> None:
    assert shape_cm3(text) == pytest.approx(cm3, rel=1e-12)


@pytest.mark.parametrize("name", FORMS)
def test_the_example_of_every_shape_reads(name) -> None:
    assert shape_cm3(FORMS[name].example) > 0


@pytest.mark.parametrize(
    ("text", "at", "expected"),
    [
        ("", 0, "a shape: box"),
        ("bxo 1x1x1 mm", 0, "a shape: box"),
        ("box", 3, "a number"),
        ("box 300", 7, "x and the next size"),
        ("box 300x200", 11, "x and the next size"),
        ("box 300x200x20", 14, "a unit"),
        ("box 300x200x20 kg", 15, "a unit"),
        ("box 300x200x20 mm box", 18, "+ or -"),
        ("box 1x0x1 mm", 6, "above 0"),
        ("box 1x-1x1 mm", 5, "x and the next size"),
        ("cylinder 10x20 mm", 9, "d (diameter)"),
        ("tube d5xd6x1 mm", 0, "the wider diameter first"),
        ("(box 1x1x1 mm", 13, ") to close"),
        ("box 1x1x1 mm)", 12, "+ or -"),
        ("3 box 1x1x1 mm", 2, "* between"),
        ("0*box 1x1x1 mm", 0, "a whole number"),
        ("1.5*box 1x1x1 mm", 0, "a whole number"),
        ("box 1x1x1 mm; rm -r", 12, "a shape, a number"),
        ("box 1x1x1 mm +", 14, "a shape: box"),
        ("box 1x1x200 m", 13, "sizes up to 100 m"),
    ],
)
def test_a_caret_stands_where_reading_stopped(text, at, expected) -> None:
    with pytest.raises(BadShape) as found:
        shape_cm3(text)
    assert found.value.at == at
    assert expected in found.value.expected
    sentence, shown, caret = str(found.value).split("\n")
    assert sentence.startswith(f"Shape, at character {at + 1}: ")
    assert shown == f"  {text}"
    assert caret == "  " + " " * at + "^"


@pytest.mark.parametrize(
    "text",
    ["box 1x1x1 mm - box 1x1x1 mm", "box 1x1x1 mm - box 2x2x2 mm", "(" * 301, "box 1x1x1 mm" + " " * 400],
)
def test_nothing_left_or_far_too_long_is_refused(text) -> None:
    with pytest.raises(BadInput):
        shape_cm3(text)


def test_many_brackets_are_a_fault_and_no_crash() -> None:
    with pytest.raises(BadShape):
        shape_cm3("(" * 300)


@given(a=SIZES, b=SIZES, c=SIZES, count=st.integers(1, 50))
def test_like_pieces_add_up(a, b, c, count) -> None:
    one = f"box {a}x{b}x{c} mm"
    assert shape_cm3(f"{count}*{one}") == pytest.approx(count * a * b * c / 1000)
    assert shape_cm3(f"{one} + {one}") == pytest.approx(2 * shape_cm3(one))


@given(text=st.text(alphabet='boxcylinder d10.,x()*+-m" ', max_size=60))
def test_any_text_gives_a_volume_or_a_sentence(text) -> None:
    try:
        volume_cm3 = shape_cm3(text)
    except BadInput:
        return
    assert volume_cm3 > 0
