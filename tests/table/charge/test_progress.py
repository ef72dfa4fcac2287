"""How far, and how many more."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from intake.spread import certain, chance_at_least, doubtful, mean_of
from intake.table.charge.progress import more_needed, progress, usual_piece
from intake.table.charge.target import ChargeSpec, charge_plan
from intake.table.item import Item
from intake.table.resins import ResinId
from intake.table.yields.shred import YieldModel


@pytest.fixture(scope="module")
def model(handbook):
    return YieldModel(handbook.kinds, handbook.losses)


@pytest.fixture(scope="module")
def plan(handbook):
    return charge_plan(ChargeSpec(id="board", resin=ResinId("PE-HD"), cavity_cm3=1500.0), handbook.charge)


@settings(max_examples=80, deadline=None)
@given(shred=st.floats(0.0, 5000.0), more=st.floats(0.0, 3000.0), sd=st.floats(0.1, 300.0))
def test_more_shred_is_never_less_likely_to_do(plan, shred, more, sd):
    a, b = (progress(plan, doubtful(m, sd)) for m in (shred, shred + more))
    assert b.probability_met >= a.probability_met
    assert b.share >= a.share
    assert 0 <= b.missing_g.mean <= a.missing_g.mean
    assert a.missing_g.low <= a.missing_g.mean <= a.missing_g.high


@pytest.mark.parametrize(
    ("share", "low", "high"), [(0.0, 0.0, 1e-6), (0.5, 0.0, 0.01), (1.0, 0.45, 0.55), (2.0, 0.999, 1.0)]
)
def test_the_chance_of_a_full_charge(plan, share, low, high):
    shred = certain(share * mean_of(plan.charge_g))
    assert low <= progress(plan, shred).probability_met <= high


def test_nothing_is_missing_when_there_is_plenty(plan):
    done = progress(plan, certain(1e5))
    assert done.missing_g.low == done.missing_g.mean == done.missing_g.high == 0.0


@pytest.mark.parametrize("kind", ["jug", "milk bottle", "detergent bottle", "bottle cap", "pail", "tub"])
@pytest.mark.parametrize("share", [0.0, 0.5, 0.9, 1.0])
@pytest.mark.parametrize("wanted", [0.5, 0.9, 0.95])
def test_the_count_is_the_first_that_is_sure_enough(handbook, model, plan, kind, share, wanted):
    found = handbook.kinds.get(kind)
    shred = doubtful(share * mean_of(plan.charge_g), 25.0)
    count = more_needed(model, plan, shred, [found], wanted)[found.id]
    piece = model.item_yield(usual_piece(found)).shred_g
    assert count is not None
    assert chance_at_least(shred + count * piece, plan.charge_g) >= wanted - 1e-12
    if count:
        assert chance_at_least(shred + (count - 1) * piece, plan.charge_g) < wanted


@settings(max_examples=30, deadline=None)
@given(have=st.floats(0.0, 2000.0), more=st.floats(0.0, 500.0))
def test_the_more_there_is_the_fewer_are_needed(handbook, model, plan, have, more):
    jug = handbook.kinds.get("jug")
    needed = [more_needed(model, plan, doubtful(m, 20.0), [jug])[jug.id] for m in (have, have + more)]
    assert needed[0] >= needed[1]


def test_nothing_more_is_needed_when_it_is_sure(handbook, model, plan):
    kinds = list(handbook.kinds.rows.values())
    assert set(more_needed(model, plan, certain(1e5), kinds).values()) == {0}


@pytest.mark.parametrize("kind", ["other", "toy", "housing"])
def test_a_kind_nobody_can_guess_never_makes_it_sure(handbook, model, plan, kind):
    found = handbook.kinds.get(kind)
    assert more_needed(model, plan, certain(0.0), [found])[found.id] is None


def test_the_jugs_already_there_share_their_error_with_those_to_come(handbook, model, plan):
    jug = handbook.kinds.get("jug")
    there = model.item_yield(Item(kind=jug, count=10)).shred_g
    alike = doubtful(mean_of(there), there.std_dev)
    assert more_needed(model, plan, there, [jug])[jug.id] > more_needed(model, plan, alike, [jug])[jug.id]
