"""Topping up a mould."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from intake.table.charge.fills import LEVEL_SHARE, fill_plan, fills_to_level
from intake.table.resins import Basis, Figure


def figure(low, typical, high):
    return Figure(low=low, typical=typical, high=high, unit="g/cm3", basis=Basis.JUDGEMENT, why="test")


@settings(max_examples=100, deadline=None)
@given(bulk=st.floats(0.02, 0.7), melt=st.floats(0.72, 1.3))
def test_the_count_is_the_first_that_reaches_the_level(bulk, melt):
    # by simulation: each fill adds bulk density × the headspace that is left
    level, count = 0.0, 0
    while level < LEVEL_SHARE - 1e-9:
        level += bulk / melt * (1.0 - level)
        count += 1
    assert fills_to_level(bulk, melt) == count


@settings(max_examples=60, deadline=None)
@given(bulk=st.floats(0.05, 0.6), more=st.floats(1.0, 2.0))
def test_denser_shred_never_needs_more_fills(bulk, more):
    assert fills_to_level(bulk * more, 0.766) <= fills_to_level(bulk, 0.766)


@settings(max_examples=60, deadline=None)
@given(cavity=st.floats(10.0, 1e5), bulk=st.floats(0.05, 0.6))
def test_fills_get_smaller_and_never_pass_the_rim(cavity, bulk):
    fills = fill_plan(cavity, figure(bulk * 0.8, bulk, bulk * 1.2), 0.766)
    assert len(fills.masses_g) == fills.mean
    assert list(fills.masses_g) == sorted(fills.masses_g, reverse=True)
    assert LEVEL_SHARE * cavity * 0.766 * (1 - 1e-6) <= sum(fills.masses_g) <= cavity * 0.766 * (1 + 1e-9)
    assert fills.low <= fills.mean <= fills.high


@pytest.mark.parametrize("bulk", [0.766, 0.9, 5.0])
def test_shred_as_dense_as_melt_fills_at_once(bulk):
    assert fills_to_level(bulk, 0.766) == 1


@pytest.mark.parametrize("bulk", [0.0, -1.0, 1e-9])
def test_shred_of_air_never_ends_but_the_count_does(bulk):
    assert fills_to_level(bulk, 0.766) == 999


def test_the_first_fill_is_a_cavity_of_loose_shred():
    assert fill_plan(1000.0, figure(0.25, 0.32, 0.4), 0.766).masses_g[0] == pytest.approx(320.0)
