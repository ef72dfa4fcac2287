"""Weighed shred teaches: biases shrink, slips are asked about, and the doubt stays honest."""

import random
from math import sqrt

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from intake.errors import BadInput, UnknownName
from intake.spread import Z90, mean_of, sd_of
from intake.table.item import Closure, Item, Label, LabelOff, Residue, Weighing
from intake.table.kinds import KindTable
from intake.table.yields.learn import (
    CLIPPED,
    WeighedLot,
    after_lot,
    into_shredder_g,
    kept_by,
    kinds_taught,
    learned,
    surprise,
)
from intake.table.yields.shred import YieldModel


@pytest.fixture(scope="module")
def kinds(handbook):
    return [handbook.kinds.get(k) for k in ("jug", "milk-bottle-2l")]


@pytest.fixture(scope="module")
def model(handbook, kinds):
    return YieldModel(KindTable({k.id: k for k in kinds}), handbook.losses)


def bare(kind, count, **facts):
    return Item(kind=kind, count=count, residue=Residue.CLEAN, **facts)


def lot(items, mass_g, **more):
    return WeighedLot(items=tuple(items), mass_g=mass_g, **more)


def expected_g(model, items):
    return into_shredder_g(model.item_yield(i) for i in items) * model.guesses.kept


def body(model, kind):
    return model.guesses.kinds[kind.id].body_g


def test_shred_as_heavy_as_expected_moves_no_mean_and_takes_doubt_away(model, kinds):
    items = [bare(kinds[0], 10), bare(kinds[1], 5)]
    after = after_lot(model, lot(items, mean_of(expected_g(model, items))))
    for kind in kinds:
        assert mean_of(body(after, kind)) == pytest.approx(mean_of(body(model, kind)), rel=1e-9)
        assert sd_of(body(after, kind)) < sd_of(body(model, kind))


@pytest.mark.parametrize("factor", [0.8, 0.9, 1.1, 1.2])
def test_a_kind_moves_toward_what_it_weighed(model, kinds, factor):
    items = [bare(kinds[0], 10)]
    after = after_lot(model, lot(items, factor * mean_of(expected_g(model, items))))
    before_g, after_g = mean_of(body(model, kinds[0])), mean_of(body(after, kinds[0]))
    assert (after_g - before_g) * (factor - 1.0) > 0
    assert abs(after_g - before_g) < abs(factor - 1.0) * before_g
    other_before_g, other_g = (mean_of(body(m, kinds[1])) for m in (model, after))
    # what a town's containers have in common moves the other kind too, by less than half as much
    assert 0 < (other_g / other_before_g - 1.0) / (after_g / before_g - 1.0) < 0.5


def test_one_step_is_the_textbook_kalman_step(model, kinds):
    """Gain and posterior variance worked out by hand from the variances alone (Kalman 1960, from memory)."""
    items = [bare(kinds[0], 10)]
    y = expected_g(model, items)
    slopes = y.derivatives
    guess = body(model, kinds[0])
    own = sum(d * slopes.get(v, 0.0) * v.std_dev**2 for v, d in guess.derivatives.items())
    z = mean_of(y) * 1.1
    run = mean_of(y) * model.tables.run_to_run.typical
    total = sd_of(y) ** 2 + run**2 + 1.0 / 12.0
    after = body(after_lot(model, lot(items, z)), kinds[0])
    assert mean_of(after) == pytest.approx(mean_of(guess) + own / total * (z - mean_of(y)), rel=1e-9)
    assert sd_of(after) ** 2 == pytest.approx(sd_of(guess) ** 2 - own**2 / total, rel=1e-9)


def test_what_two_kinds_learn_together_stays_tied(model, kinds):
    """One weighing of both: their sum is known better than either, so their errors must be opposed."""
    items = [bare(kinds[0], 10), bare(kinds[1], 16)]
    after = after_lot(model, lot(items, mean_of(expected_g(model, items))))
    one, two = 10 * body(after, kinds[0]), 16 * body(after, kinds[1])
    assert sd_of(one + two) < sqrt(sd_of(one) ** 2 + sd_of(two) ** 2)


@pytest.mark.parametrize("typo", [10.0, 0.1, 100.0, 0.001])
def test_a_typo_is_questioned_and_teaches_nothing(model, kinds, typo):
    items = [bare(kinds[0], 10), bare(kinds[1], 10)]
    slip = lot(items, typo * mean_of(expected_g(model, items)))
    assert surprise(model, slip).questioned
    assert after_lot(model, slip) is model


def test_beyond_two_sd_more_surprise_moves_nothing_further(model, kinds):
    items = [bare(kinds[0], 10)]
    y = expected_g(model, items)
    sd = sqrt(sd_of(y) ** 2 + (0.01 * mean_of(y)) ** 2 + 1 / 12)
    moved = [
        mean_of(body(after_lot(model, lot(items, mean_of(y) + k * sd)), kinds[0]))
        - mean_of(body(model, kinds[0]))
        for k in (CLIPPED, 3.0, 3.9)
    ]
    assert moved[0] == pytest.approx(moved[1], rel=1e-6) == pytest.approx(moved[2], rel=1e-6)
    assert moved[0] > 0


@pytest.mark.parametrize("bias", [0.85, 1.15])
def test_five_bins_shrink_a_bias_of_the_table(model, kinds, bias):
    chance = random.Random(4)
    true = {k.id: bias * mean_of(body(model, k)) for k in kinds}
    lots = []
    for _ in range(5):
        items = [bare(k, chance.randrange(2, 12)) for k in kinds for _ in range(4)]
        shred = sum(
            i.count * chance.gauss(true[i.kind.id], model.guesses.kinds[i.kind.id].body_own_sd_g)
            for i in items
        )
        lots.append(lot(items, 0.96 * shred * chance.gauss(1.0, 0.01)))
    after = learned(model, lots)
    for kind in kinds:
        before, now = (abs(mean_of(body(m, kind)) - true[kind.id]) for m in (model, after))
        assert now < 0.6 * before
        assert now < 2 * Z90 * sd_of(body(after, kind))


def test_an_outlier_among_good_lots_changes_nothing(model, kinds):
    items = [bare(kinds[0], 12), bare(kinds[1], 12)]
    good = lot(items, 0.97 * mean_of(expected_g(model, items)))
    slip = lot(items, 9.7 * mean_of(expected_g(model, items)))
    with_slip, without = learned(model, [good, slip, good]), learned(model, [good, good])
    for kind in kinds:
        assert mean_of(body(with_slip, kind)) == pytest.approx(mean_of(body(without, kind)), rel=1e-12)


def test_weighed_rows_teach_the_losses_not_the_kind(model, kinds):
    items = [bare(kinds[0], 10, gross_g=620.0, weighed=Weighing.PREPARED)]
    after = after_lot(model, lot(items, 570.0))
    assert mean_of(body(after, kinds[0])) == pytest.approx(mean_of(body(model, kinds[0])), rel=1e-6)
    assert mean_of(after.guesses.kept) < mean_of(model.guesses.kept)


def test_another_shredder_teaches_kinds_but_not_this_one_s_loss(model, kinds):
    items = [bare(kinds[0], 10)]
    mass_g = 1.1 * mean_of(
        into_shredder_g(model.item_yield(i) for i in items) * kept_by(model, "blender-dry")
    )
    after = after_lot(model, lot(items, mass_g, shredder="blender-dry"))
    assert mean_of(body(after, kinds[0])) > mean_of(body(model, kinds[0]))
    assert mean_of(after.guesses.kept) == mean_of(model.guesses.kept)


def test_labels_and_closures_that_were_guessed_are_learned_too(model, kinds):
    as_it_came = Item(
        kind=kinds[0], count=20, gross_g=1300.0, weighed=Weighing.AS_RECEIVED, label=Label.PAPER,
        label_off=LabelOff.NO, closure=Closure.ON, residue=Residue.RINSED,
    )  # fmt: skip
    y = expected_g(model, [as_it_came])
    after = after_lot(model, lot([as_it_came], mean_of(y) + 1.5 * sd_of(y)))
    assert mean_of(after.guesses.residue["rinsed"]) < mean_of(model.guesses.residue["rinsed"])
    assert mean_of(after.guesses.kinds[kinds[0].id].label_share) < mean_of(
        model.guesses.kinds[kinds[0].id].label_share
    )


def test_the_kinds_that_were_taught_are_named(model, kinds):
    items = [bare(kinds[0], 10)]
    assert kinds_taught(model, items) == ()
    after = after_lot(model, lot(items, 1.1 * mean_of(expected_g(model, items))))
    assert [kind.id for kind, _ in kinds_taught(after, items)] == ["jug"]


@settings(max_examples=25, deadline=None)
@given(
    counts=st.lists(st.integers(1, 30), min_size=1, max_size=5),
    factors=st.lists(st.floats(0.5, 1.6), min_size=1, max_size=4),
)
def test_learning_never_adds_doubt_and_never_makes_a_mass_or_share_impossible(model, kinds, counts, factors):
    items = [bare(kinds[i % 2], n) for i, n in enumerate(counts)]
    lots = [lot(items, f * mean_of(expected_g(model, items))) for f in factors]
    after = learned(model, lots)
    for kind in kinds:
        assert mean_of(body(after, kind)) > 0
        assert sd_of(body(after, kind)) <= sd_of(body(model, kind)) * (1 + 1e-9)
    assert 0 < mean_of(after.guesses.kept) <= 1
    assert learned(model, lots).guesses.kinds[kinds[0].id].body_g.nominal_value == mean_of(
        body(after, kinds[0])
    )


@pytest.mark.parametrize("mass_g", [0.0, -1.0, float("nan"), float("inf")])
def test_a_mass_that_cannot_be_is_refused(kinds, mass_g):
    with pytest.raises(BadInput, match="above 0"):
        lot([bare(kinds[0], 1)], mass_g)


def test_an_unknown_shredder_is_named(model, kinds):
    with pytest.raises(UnknownName, match="granulator"):
        surprise(model, lot([bare(kinds[0], 1)], 50.0, shredder="granulatr"))


def test_an_empty_lot_teaches_nothing(model):
    assert after_lot(model, lot([], 5.0)) is model
