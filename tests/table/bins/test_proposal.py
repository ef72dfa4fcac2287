from math import nan

import pytest
from hypothesis import given
from hypothesis import strategies as st

from intake.errors import BadInput
from intake.handbook import Handbook
from intake.table.bins.ciede2000 import delta_e_2000
from intake.table.bins.colour import GREY, WHITE, GroupId, Lab, group_of, lab_of
from intake.table.bins.proposal import propose_group

TABLE = Handbook().colours


@pytest.mark.parametrize("word", sorted(TABLE.words))
def test_a_photo_and_a_word_are_judged_alike(word: str) -> None:
    found = propose_group(TABLE.words[word], TABLE)
    assert found.group == group_of(TABLE.words[word], TABLE)
    assert found.delta_e == pytest.approx(0.0, abs=1e-9)


@pytest.mark.parametrize("group", [g for g, rgb in TABLE.swatches.items() if rgb and g != "natural"])
def test_the_swatch_of_a_group_is_proposed_for_it(group: GroupId) -> None:
    assert propose_group(lab_of(TABLE.swatches[group]), TABLE).group == group  # type: ignore[arg-type]


@given(lightness=st.floats(0, 100), a=st.floats(-100, 100), b=st.floats(-100, 100))
def test_the_nearest_word_is_nearest_and_the_other_group_is_another(lightness, a, b) -> None:
    lab = Lab(lightness=lightness, a=a, b=b)
    found = propose_group(lab, TABLE)
    least = min(delta_e_2000(lab, known) for known in TABLE.words.values())
    assert found.delta_e == least <= found.other_delta_e
    assert found.group != found.other
    assert found.group == group_of(TABLE.words[found.word], TABLE)


def test_a_colour_between_two_groups_is_called_so() -> None:
    between = Lab(lightness=88.0, a=0.0, b=1.0)
    found = propose_group(between, TABLE)
    assert {found.group, found.other} == {WHITE, GREY}
    assert "colour_between" in [n.code for n in found.notes]


def test_white_may_always_be_natural() -> None:
    assert [n.code for n in propose_group(TABLE.words["white"], TABLE).notes][-1] == "colour_white_or_natural"


def test_a_colour_that_is_none_is_refused() -> None:
    with pytest.raises(BadInput, match="CIELAB"):
        propose_group(Lab(lightness=nan, a=0.0, b=0.0), TABLE)
