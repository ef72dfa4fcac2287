"""Minutes of hand work."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from intake.spread import interval, mean_of, sd_of
from intake.table.item import Adhesive, Closure, Item, Label, Residue
from intake.table.prep.minutes import hand_minutes, soak_minutes, step_minutes
from intake.table.prep.steps import steps_left
from intake.table.resins import ResinId


@pytest.fixture(scope="module")
def full(handbook):
    item = Item(
        kind=handbook.kinds.get("jug"), closure=Closure.ON, residue=Residue.FOOD, label=Label.PAPER,
        adhesive=Adhesive.RESIDUE,
    )  # fmt: skip
    return steps_left(item, ResinId("PE-HD"), handbook.prep)


@pytest.mark.parametrize("number", range(5))
def test_every_step_costs_some_time(handbook, full, number):
    assert mean_of(step_minutes(full[number], 1, handbook.prep)) > 0


@settings(max_examples=30, deadline=None)
@given(count=st.integers(1, 1000))
def test_time_and_its_doubt_grow_with_the_count(handbook, full, count):
    one, many = hand_minutes(full, 1, handbook.prep), hand_minutes(full, count, handbook.prep)
    assert mean_of(many) == pytest.approx(count * mean_of(one))
    assert sd_of(many) == pytest.approx(count * sd_of(one))


def test_nothing_to_do_takes_no_time(handbook):
    assert mean_of(hand_minutes((), 20, handbook.prep)) == 0.0
    assert soak_minutes((), handbook.prep) == 0.0


def test_a_dirty_labelled_jug_takes_one_to_three_minutes(handbook, full):
    # judgement, no published table: 4 + 15 + 25 + 25 + 3 s typical
    minutes = interval(hand_minutes(full, 1, handbook.prep))
    assert 1.0 < minutes.mean < 3.0


def test_soaking_waits_by_itself(handbook, full):
    assert soak_minutes(full, handbook.prep) == pytest.approx(15 + 15 + 20)


@pytest.mark.parametrize(("label", "at_least_s"), [(Label.PAPER, 5), (Label.FILM, 3), (Label.SLEEVE, 3)])
def test_paper_takes_longer_than_a_sleeve(handbook, label, at_least_s):
    # effort.json: low ends of the label table (judgement)
    assert handbook.prep.hand_s[f"label:{label.value}"].low >= at_least_s
