"""The flow picture is to scale, and its labels never lie on each other."""

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from intake.drawing.flow import LABEL_HEIGHT, SPACE, bands, spaced

MASSES = st.lists(st.floats(0.05, 50_000), min_size=1, max_size=8)


@given(MASSES, st.floats(60, 150))
def test_every_band_is_as_thick_as_its_mass(masses, height) -> None:
    found = bands(masses, height)
    scale = (height - SPACE * (len(masses) - 1)) / sum(masses)
    assert [b.height for b in found] == pytest.approx([m * scale for m in masses])


@given(MASSES, st.floats(60, 150))
def test_bands_fill_the_height_and_leave_the_same_space_between_them(masses, height) -> None:
    found = bands(masses, height)
    assert found[-1].end + found[-1].height == pytest.approx(height)
    for one, after in pairwise(found):
        assert after.end - one.end - one.height == pytest.approx(SPACE)
        assert after.begin - one.begin == pytest.approx(one.height)


@given(MASSES)
def test_labels_stand_apart_and_inside(masses) -> None:
    labels = [b.label for b in bands(masses, 90.0)]
    assert all(b - a >= LABEL_HEIGHT - 1e-9 for a, b in pairwise(labels))
    assert labels[0] >= LABEL_HEIGHT / 2 - 1e-9
    assert labels[-1] <= 90.0 - LABEL_HEIGHT / 2 + 1e-9


@pytest.mark.parametrize(
    ("wanted", "places"),
    [
        ([20.0, 50.0], [20.0, 50.0]),
        ([20.0, 21.0], [20.0, 29.0]),
        ([84.0, 89.0], [77.0, 86.0]),
        ([0.0], [4.5]),
    ],
)
def test_a_label_moves_only_where_it_must(wanted, places) -> None:
    assert spaced(wanted, 9.0, 90.5) == pytest.approx(places)
