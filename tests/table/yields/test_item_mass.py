"""Mass from the scale or from the kind."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from intake.errors import BadInput
from intake.spread import mean_of, sd_of
from intake.table.item import Closure, Item, Weighing
from intake.table.yields.item_mass import guessed_bodies_g, guessed_closures_g, scale_g, unlike_kind
from intake.table.yields.shred import YieldModel


@pytest.fixture(scope="module")
def model(handbook):
    return YieldModel(handbook.kinds, handbook.losses)


def weighed(handbook, gross_g, kind="jug", **more):
    return Item(kind=handbook.kinds.get(kind), gross_g=gross_g, weighed=Weighing.AS_RECEIVED, **more)


@pytest.mark.parametrize("step_g", [0.1, 1.0, 2.0, 5.0, 20.0])
def test_a_scale_step_is_a_rectangle_of_its_width(handbook, step_g):
    # GUM (JCGM 100:2008) 4.3.7: half-width a of a rectangle gives a / sqrt(3); from memory
    on_scale = scale_g(weighed(handbook, 500.0, resolution_g=step_g))
    assert sd_of(on_scale) == pytest.approx((step_g / 2) / math.sqrt(3))


@pytest.mark.parametrize(
    ("gross_g", "tare_g", "net_g"), [(62.5, 0.0, 62.5), (1250.0, 200.0, 1050.0), (5.0, 4.0, 1.0)]
)
def test_the_tare_comes_off_and_adds_its_own_doubt(handbook, gross_g, tare_g, net_g):
    on_scale = scale_g(weighed(handbook, gross_g, tare_g=tare_g))
    assert mean_of(on_scale) == pytest.approx(net_g)
    assert sd_of(on_scale) == pytest.approx(math.sqrt((2 if tare_g else 1) / 12))


@pytest.mark.parametrize(
    "bad",
    [
        {"gross_g": 0.0}, {"gross_g": -3.0}, {"gross_g": math.nan}, {"gross_g": math.inf}, {"gross_g": None},
        {"gross_g": 100.0, "tare_g": 100.0}, {"gross_g": 100.0, "tare_g": 140.0},
        {"gross_g": 100.0, "tare_g": -1.0}, {"gross_g": 100.0, "tare_g": math.nan},
        {"gross_g": 100.0, "resolution_g": 0.0},
        {"gross_g": 100.0, "resolution_g": math.inf},
    ],
    ids=str,
)  # fmt: skip
def test_a_weight_that_cannot_be_is_refused_with_a_sentence(handbook, bad):
    with pytest.raises(BadInput, match=r"Expected .*\. Nothing was saved\."):
        scale_g(weighed(handbook, **bad))


@pytest.mark.parametrize("count", [0, -1])
def test_a_row_has_at_least_one_piece(handbook, model, count):
    with pytest.raises(BadInput, match="one piece or more"):
        model.item_yield(Item(kind=handbook.kinds.get("jug"), count=count))


@pytest.mark.parametrize("split_g", [-1.0, math.nan, math.inf])
def test_split_off_parts_weigh_something(handbook, model, split_g):
    with pytest.raises(BadInput, match="0 g or more"):
        model.item_yield(Item(kind=handbook.kinds.get("jug"), split_g=split_g))


def test_pieces_of_one_row_share_one_draw(handbook, model):
    guess = model.guesses.kinds["jug"]
    one = guessed_bodies_g(Item(kind=handbook.kinds.get("jug")), guess)
    twenty = guessed_bodies_g(Item(kind=handbook.kinds.get("jug"), count=20), guess)
    assert sd_of(twenty) == pytest.approx(20 * sd_of(one))


def test_rows_of_one_kind_share_half_their_variance(handbook, model):
    guess, jug = model.guesses.kinds["jug"], Item(kind=handbook.kinds.get("jug"))
    one, other = guessed_bodies_g(jug, guess), guessed_bodies_g(jug, guess)
    shared = handbook.losses.kind_variance_shared.typical
    covariance = (sd_of(one + other) ** 2 - sd_of(one) ** 2 - sd_of(other) ** 2) / 2
    assert covariance / sd_of(one) ** 2 == pytest.approx(shared)


def test_closures_of_a_weight_far_too_low_shrink_with_it(handbook, model):
    spray = handbook.kinds.get("spray-bottle")
    guess = model.guesses.kinds[spray.id]
    closures = guessed_closures_g(Item(kind=spray, closure=Closure.ON), guess, 20.0)
    assert 0 < mean_of(closures) < 20.0


@pytest.mark.parametrize(
    ("kind", "count", "mass_g", "asked"),
    [
        ("jug", 1, 62.0, False), ("jug", 20, 1250.0, False), ("jug", 1, 620.0, True), ("jug", 1, 6.2, True),
        ("bottle-cap", 64, 140.0, False), ("bottle-cap", 64, 1400.0, True), ("pail", 1, 420.0, False),
        ("pail", 1, 42.0, True), ("tub", 10, 160.0, False), ("tub", 1, 160.0, True),
    ],
)  # fmt: skip
def test_a_slip_of_ten_is_questioned_and_a_likely_weight_is_not(handbook, kind, count, mass_g, asked):
    item = weighed(handbook, mass_g, kind, count=count, closure=Closure.ON)
    assert (unlike_kind(item, mass_g) is not None) is asked


@settings(max_examples=40, deadline=None)
@given(count=st.integers(1, 500), per_piece_g=st.floats(0.5, 3000.0))
def test_an_unlikely_weight_is_never_refused(handbook, count, per_piece_g):
    model = YieldModel(handbook.kinds, handbook.losses)
    item = weighed(
        handbook, count * per_piece_g, "spray bottle", count=count, closure=Closure.ON, resolution_g=0.1
    )
    row = model.item_yield(item)
    assert 0.0 < mean_of(row.net_g) < count * per_piece_g
