"""Four boxes: pile, shred, melt, solid."""

import pytest

from intake.errors import UnknownName
from intake.spread import mean_of, sd_of
from intake.table.item import Closure, Item
from intake.table.resins import ResinId
from intake.table.yields.bulk import boxes, pile_l
from intake.table.yields.shred import YieldModel

PE_HD = ResinId("PE-HD")


@pytest.fixture(scope="module")
def model(handbook):
    return YieldModel(handbook.kinds, handbook.losses)


def rows(handbook, model, *kinds, count=20):
    items = [Item(kind=handbook.kinds.get(k), count=count, closure=Closure.ON) for k in kinds]
    return [(item, model.item_yield(item)) for item in items]


@pytest.mark.parametrize("form", ["blender-fluff", "granulator-flake", "granulator-rigid", "film-fluff"])
@pytest.mark.parametrize("kind", ["jug", "detergent bottle", "tub"])
def test_every_box_is_smaller_than_the_one_before(handbook, model, form, kind):
    four = boxes(rows(handbook, model, kind), handbook.bulk, form, PE_HD, 0.766, 0.955)
    sizes = [mean_of(x) for x in (four.pile_l, four.shred_l, four.melt_l, four.solid_l)]
    assert sizes == sorted(sizes, reverse=True)
    assert sizes[-1] > 0


@pytest.mark.parametrize("count", [1, 10, 100])
def test_the_boxes_grow_with_the_count(handbook, model, count):
    one = boxes(rows(handbook, model, "jug", count=1), handbook.bulk, "granulator-flake", PE_HD, 0.766, 0.955)
    many = boxes(
        rows(handbook, model, "jug", count=count), handbook.bulk, "granulator-flake", PE_HD, 0.766, 0.955
    )
    for name in ("pile_l", "shred_l", "melt_l", "solid_l"):
        assert mean_of(getattr(many, name)) == pytest.approx(count * mean_of(getattr(one, name)))


@pytest.mark.parametrize("kind", ["film bag", "carrier-bag", "crate", "bottle cap", "pipe"])
def test_items_that_hold_nothing_have_a_pile_by_mass(handbook, model, kind):
    found = handbook.kinds.find(kind) or handbook.kinds.get("bread-bag")
    pairs = rows(handbook, model, found.id)
    pile = pile_l(pairs, handbook.bulk)
    assert mean_of(pile) > 0
    assert sd_of(pile) > 0


@pytest.mark.parametrize(("kind", "row"), [("carrier-bag", "film"), ("bottle-cap", "cap"), ("pipe", "other")])
def test_each_shapeless_item_takes_its_own_loose_density(handbook, model, kind, row):
    pairs = rows(handbook, model, kind)
    figure = handbook.bulk.loose_g_cm3[row]
    loose_g_cm3 = 0.3 * figure.low + 0.4 * figure.typical + 0.3 * figure.high
    expected_l = mean_of(pairs[0][1].received_g) / loose_g_cm3 / 1000
    assert mean_of(pile_l(pairs, handbook.bulk)) == pytest.approx(expected_l)


def test_two_piles_of_one_table_add_up(handbook, model):
    jugs, tubs = rows(handbook, model, "jug"), rows(handbook, model, "tub")
    both = mean_of(pile_l([*jugs, *tubs], handbook.bulk))
    assert both == pytest.approx(mean_of(pile_l(jugs, handbook.bulk)) + mean_of(pile_l(tubs, handbook.bulk)))


def test_an_unknown_form_of_shred_is_named(handbook):
    with pytest.raises(UnknownName, match="granulator-flake"):
        handbook.bulk.shred("granulator-flakes", PE_HD)


def test_a_resin_without_its_own_row_takes_the_form_s(handbook):
    assert (
        handbook.bulk.shred("granulator-flake", ResinId("POM"))
        is handbook.bulk.shred_g_cm3["granulator-flake"]
    )


def test_an_empty_table_has_empty_boxes(handbook):
    four = boxes([], handbook.bulk, "granulator-flake", PE_HD, 0.766, 0.955)
    assert mean_of(four.pile_l) == mean_of(four.shred_l) == 0.0
