"""Colours and sizes: checked against the contrast rule of WCAG 2.2, in both themes."""

import re
from dataclasses import asdict

import flet as ft
import pytest
from hypothesis import given
from hypothesis import strategies as st

from intake.app.theme import (
    DARK,
    GRID,
    LIGHT,
    SHAPE_PAIRS,
    TARGET_MIN,
    TEXT_PAIRS,
    WALLS,
    contrast,
    theme,
)
from intake.table.compat.decision import Verdict

THEMES = (pytest.param(LIGHT, id="light"), pytest.param(DARK, id="dark"))
COLOURS = st.integers(0, 0xFFFFFF).map(lambda n: f"#{n:06X}")


@pytest.mark.parametrize(
    ("one", "other", "ratio"),
    [
        pytest.param("#000000", "#FFFFFF", 21.0, id="WCAG 2.2 definition of contrast ratio, largest"),
        pytest.param("#FFFFFF", "#FFFFFF", 1.0, id="WCAG 2.2 definition of contrast ratio, smallest"),
        pytest.param("#767676", "#FFFFFF", 4.54, id="lightest grey that passes on white, from memory"),
        pytest.param("#FF0000", "#FFFFFF", 4.0, id="pure red on white, 1.05 / (0.2126 + 0.05)"),
    ],
)
def test_contrast_follows_the_rule(one, other, ratio):
    assert contrast(one, other) == pytest.approx(ratio, abs=0.005)


@given(one=COLOURS, other=COLOURS)
def test_contrast_does_not_mind_the_order_and_stays_in_its_range(one, other):
    assert contrast(one, other) == contrast(other, one)
    assert 1.0 <= contrast(one, other) <= 21.0 + 1e-9


@pytest.mark.parametrize("palette", THEMES)
@pytest.mark.parametrize(("text", "ground"), TEXT_PAIRS)
def test_text_can_be_read_on_its_ground(palette, text, ground):
    """WCAG 2.2, success criterion 1.4.3: at least 4.5:1."""
    assert contrast(getattr(palette, text), getattr(palette, ground)) >= 4.5


@pytest.mark.parametrize("palette", THEMES)
@pytest.mark.parametrize(("shape", "ground"), SHAPE_PAIRS)
def test_shapes_can_be_told_from_their_ground(palette, shape, ground):
    """WCAG 2.2, success criterion 1.4.11: at least 3:1."""
    assert contrast(getattr(palette, shape), getattr(palette, ground)) >= 3.0


@pytest.mark.parametrize("palette", THEMES)
def test_the_doubtful_end_differs_from_both_its_neighbours(palette):
    assert contrast(palette.doubt, palette.action) >= 2.0
    assert contrast(palette.doubt, palette.track) >= 2.0


@pytest.mark.parametrize("palette", THEMES)
def test_every_colour_is_written_out(palette):
    assert all(re.fullmatch(r"#[0-9A-F]{6}", c) for c in asdict(palette).values())


@pytest.mark.parametrize("palette", THEMES)
def test_no_role_that_flet_draws_with_is_left_to_a_seed(palette):
    made = theme(palette)
    assert made.color_scheme_seed is None
    needed = (
        "primary",
        "on_primary",
        "secondary_container",
        "tertiary",
        "error",
        "surface",
        "outline",
        "inverse_surface",
    )
    assert all(getattr(made.color_scheme, role) for role in needed)


@pytest.mark.parametrize("verdict", list(Verdict))
def test_every_verdict_has_its_own_wall(verdict):
    assert verdict.value in WALLS
    assert len({wall for wall, _ in WALLS.values()}) == len(Verdict)


@pytest.mark.parametrize("palette", THEMES)
def test_a_wall_is_drawn_in_the_colour_of_its_verdict(palette):
    scheme = theme(palette).color_scheme
    drawn = {v: getattr(scheme, _snake(wall)) for v, (wall, _) in WALLS.items()}
    assert drawn == {"accept": palette.accept_wall, "hold": palette.hold_wall, "refuse": palette.refuse_wall}


def test_sizes_stand_on_the_grid():
    assert GRID == 8
    assert TARGET_MIN % GRID == 0


def _snake(colour):
    return next(c.name for c in ft.Colors if c == colour).lower()
