import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from intake.errors import BadInput
from intake.handbook.colours import read_colours
from intake.table.bins.ciede2000 import delta_e_2000
from intake.table.bins.colour import MIXED, Lab, colour_group, group_of, lab_of, parse_srgb

TABLE = read_colours()
LABS = st.builds(Lab, lightness=st.floats(0, 100), a=st.floats(-100, 100), b=st.floats(-100, 100))


@pytest.mark.parametrize(
    ("text", "group"),
    [
        ("natural", "natural"), ("Clear", "natural"), ("translucent", "natural"), ("milky white", "natural"),
        ("white", "white"), ("off-white", "white"), ("light blue", "blue"), ("pale sky blue", "blue"),
        ("DARK  blue", "blue"), ("translucent blue", "blue"), ("navy", "blue"), ("turquoise", "green"),
        ("black", "black"), ("anthracite", "black"), ("silver", "grey"), ("light-grey", "grey"),
        ("red", "red"), ("maroon", "red"), ("orange", "orange"), ("brown", "brown"), ("cream", "yellow"),
        ("lilac", "purple"), ("pink", "pink"), ("mixed", "mixed"), ("opaque green", "green"),
    ],
)  # fmt: skip
def test_an_everyday_word_names_its_group(text: str, group: str) -> None:
    assert colour_group(text, TABLE).id == group
    assert colour_group(text, TABLE).note is None


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("", "colour_not_given"),
        ("   ", "colour_not_given"),
        ("chartreuse", "colour_unknown"),
        ("dark", "colour_unknown"),
        ("🟦", "colour_unknown"),
        ("أزرق", "colour_unknown"),
        ("x" * 400, "colour_unknown"),
        ("red/white", "colour_several"),
        ("blue and yellow", "colour_several"),
    ],
)
def test_a_word_that_settles_nothing_is_mixed_with_a_note(text: str, code: str) -> None:
    group = colour_group(text, TABLE)
    assert group.id == MIXED
    assert group.note is not None
    assert group.note.code == code
    assert all(len(str(value)) <= 40 for _, value in group.note.values)


def test_about_forty_words_are_known_and_each_lies_in_a_group_that_has_a_swatch() -> None:
    assert len(TABLE.words) >= 40
    assert {group_of(lab, TABLE) for lab in TABLE.words.values()} == set(TABLE.swatches) - {
        "natural",
        "mixed",
    }


@pytest.mark.parametrize("group", [g for g, rgb in TABLE.swatches.items() if rgb and g != "natural"])
def test_a_swatch_lies_in_its_own_group(group: str) -> None:
    assert group_of(lab_of(TABLE.swatches[group]), TABLE) == group  # type: ignore[arg-type]


@given(lab=LABS)
def test_every_colour_has_a_group(lab: Lab) -> None:
    assert group_of(lab, TABLE) in TABLE.swatches


@given(first=LABS, second=LABS)
def test_a_difference_is_the_same_both_ways_and_never_negative(first: Lab, second: Lab) -> None:
    assert delta_e_2000(first, second) >= 0.0
    assert delta_e_2000(first, second) == pytest.approx(delta_e_2000(second, first), abs=1e-6)


@given(lab=LABS)
def test_a_colour_does_not_differ_from_itself(lab: Lab) -> None:
    assert delta_e_2000(lab, lab) == 0.0


@pytest.mark.parametrize("bad", [math.nan, math.inf, -math.inf])
def test_a_colour_that_is_no_number_is_refused(bad: float) -> None:
    with pytest.raises(BadInput, match="finite"):
        group_of(Lab(lightness=bad, a=0.0, b=0.0), TABLE)


@pytest.mark.parametrize("text", ["", "#12345", "123456", "#GGGGGG", "#1234567"])
def test_a_colour_value_that_is_none_is_refused(text: str) -> None:
    with pytest.raises(BadInput, match="#8FBBE0"):
        parse_srgb(text)
