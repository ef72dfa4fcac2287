"""What was received, what comes off, what is left."""

import itertools
import math
import time

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from intake.errors import BadInput, UnknownName
from intake.spread import chance_at_least, interval, mean_of, sd_of, total
from intake.table.item import Adhesive, Closure, Item, Label, LabelOff, Residue, Weighing
from intake.table.yields.shred import FOREIGN, REMOVED, YieldModel

WEIGHINGS = (None, Weighing.AS_RECEIVED, Weighing.PREPARED)


@pytest.fixture(scope="module")
def model(handbook):
    return YieldModel(handbook.kinds, handbook.losses)


@pytest.fixture(scope="module")
def jug(handbook):
    return handbook.kinds.get("jug")


def means(mapping):
    return {key: mean_of(value) for key, value in mapping.items()}


def apart_g(row):
    """How far the identity is from holding, on the means."""
    return abs(mean_of(row.received_g) - mean_of(row.net_g) - math.fsum(means(row.removed).values()))


@pytest.mark.parametrize(
    ("weighed", "closure", "label_off"), itertools.product(WEIGHINGS, Closure, LabelOff), ids=str
)
def test_received_is_net_and_removed(model, jug, weighed, closure, label_off):
    row = model.item_yield(
        Item(
            kind=jug, count=7, gross_g=480.0, weighed=weighed, closure=closure, label=Label.PAPER,
            label_off=label_off, adhesive=Adhesive.RESIDUE, residue=Residue.FOOD, tare_g=20.0,
        )
    )  # fmt: skip
    assert apart_g(row) < 1e-6
    assert set(row.removed) == set(REMOVED)
    assert set(row.foreign_g) == set(FOREIGN)


def items(kinds):
    return st.builds(
        lambda kind, weighed, gross, **rest: Item(
            kind=kind, weighed=weighed, gross_g=gross + rest["tare_g"] if weighed else None, **rest
        ),
        kind=st.sampled_from(sorted(kinds.rows.values(), key=lambda k: k.id)),
        weighed=st.sampled_from(WEIGHINGS),
        gross=st.floats(1.0, 50_000.0),
        count=st.integers(1, 300),
        label=st.sampled_from(Label),
        label_off=st.sampled_from(LabelOff),
        adhesive=st.sampled_from(Adhesive),
        closure=st.sampled_from(Closure),
        residue=st.sampled_from(Residue),
        tare_g=st.floats(0.0, 2_000.0),
        resolution_g=st.sampled_from([0.1, 1.0, 5.0]),
    )


@settings(max_examples=150, deadline=None)
@given(data=st.data(), keep=st.booleans())
def test_the_identity_holds_for_every_item(handbook, model, data, keep):
    row = model.item_yield(data.draw(items(handbook.kinds)), keep_closure=keep)
    assert apart_g(row) <= 1e-12 * mean_of(row.received_g) + 1e-9
    assert all(value >= 0 for value in means(row.removed).values())
    assert 0 < mean_of(row.shred_g) <= mean_of(row.net_g) <= mean_of(row.received_g)


@settings(max_examples=60, deadline=None)
@given(data=st.data(), more=st.floats(1.01, 3.0))
def test_a_heavier_weight_never_gives_less_shred(handbook, model, data, more):
    item = data.draw(items(handbook.kinds).filter(lambda i: i.weighed))
    heavier = Item(**{f: getattr(item, f) for f in Item.__slots__} | {"gross_g": item.gross_g * more})
    # from half the kind's usual weight on the closure is a fixed guess, below it is a share
    light, heavy = model.item_yield(item), model.item_yield(heavier)
    usual_g = item.count * model.guesses.kinds[item.kind.id].total_g
    if mean_of(light.received_g) > usual_g / 2 * 1.6 or mean_of(heavy.received_g) < usual_g / 2:
        assert mean_of(heavy.shred_g) > mean_of(light.shred_g)


@pytest.mark.parametrize("weighed", WEIGHINGS, ids=str)
@pytest.mark.parametrize(
    ("clean", "dirty"),
    [
        (Residue.CLEAN, Residue.RINSED), (Residue.RINSED, Residue.EDIBLE_OIL), (Residue.RINSED, Residue.FOOD),
    ],
)  # fmt: skip
def test_more_residue_never_means_more_shred_from_one_weight(model, jug, weighed, clean, dirty):
    a, b = (
        model.item_yield(Item(kind=jug, gross_g=70.0, weighed=weighed, residue=r, resolution_g=0.1))
        for r in (clean, dirty)
    )
    if weighed is Weighing.AS_RECEIVED:
        assert mean_of(b.net_g) < mean_of(a.net_g)
    else:
        assert mean_of(b.net_g) == pytest.approx(mean_of(a.net_g))
        assert mean_of(b.received_g) > mean_of(a.received_g)


def test_as_received_takes_off_what_is_still_on(model, jug):
    row = model.item_yield(
        Item(kind=jug, gross_g=64.0, weighed=Weighing.AS_RECEIVED, closure=Closure.ON, label=Label.PAPER)
    )
    off = means(row.removed)
    assert mean_of(row.received_g) == pytest.approx(64.0)
    assert off["closure"] == pytest.approx(2.5, abs=0.2)  # kinds table: a jug's cap
    assert off["label"] == pytest.approx(0.021 * mean_of(row.net_g), rel=0.02)


@pytest.mark.parametrize(
    ("closure", "label_off"), [(Closure.OFF, LabelOff.YES), (Closure.NONE, LabelOff.YES)]
)
def test_as_received_and_bare_loses_only_residue_and_water(model, jug, closure, label_off):
    row = model.item_yield(
        Item(
            kind=jug,
            gross_g=60.0,
            weighed=Weighing.AS_RECEIVED,
            closure=closure,
            label=Label.PAPER,
            label_off=label_off,
        )
    )
    assert means(row.removed)["closure"] == means(row.removed)["label"] == 0.0
    assert mean_of(row.received_g) == pytest.approx(60.0)


def test_prepared_adds_back_what_came_off(model, jug):
    bare = Item(kind=jug, gross_g=60.0, weighed=Weighing.PREPARED, closure=Closure.NONE, label=Label.NONE)
    worn = Item(
        kind=jug, gross_g=60.0, weighed=Weighing.PREPARED, closure=Closure.OFF, label=Label.PAPER,
        label_off=LabelOff.YES, residue=Residue.FOOD,
    )  # fmt: skip
    a, b = model.item_yield(bare), model.item_yield(worn)
    assert mean_of(a.net_g) == pytest.approx(mean_of(b.net_g))
    gained = mean_of(b.received_g) - mean_of(a.received_g)
    off_a, off_b = means(a.removed), means(b.removed)
    assert gained == pytest.approx(sum(off_b[k] - off_a[k] for k in ("closure", "label", "residue")))
    assert off_b["closure"] > 2.0


def test_prepared_takes_off_only_what_is_still_on(model, jug):
    still = Item(
        kind=jug,
        gross_g=64.0,
        weighed=Weighing.PREPARED,
        closure=Closure.ON,
        label=Label.PAPER,
        adhesive=Adhesive.HEAVY,
    )
    row = model.item_yield(still)
    off = means(row.removed)
    assert mean_of(row.net_g) == pytest.approx(
        64.0 - off["closure"] - off["label"] - off["adhesive"] - off["moisture"]
    )
    assert means(row.foreign_g)["closure"] == off["closure"]
    assert means(row.foreign_g)["label"] == pytest.approx(off["label"])


@pytest.mark.parametrize("closure", [Closure.ON, Closure.OFF])
def test_not_weighed_is_the_kind_as_it_came(model, jug, closure):
    row = model.item_yield(Item(kind=jug, count=20, closure=closure, label=Label.PAPER))
    body_g = 0.3 * 52 + 0.4 * 60 + 0.3 * 75  # mean of the kinds table's range by 30-40-30
    assert row.estimated
    assert [r.code for r in row.reasons] == ["mass_estimated"]
    assert mean_of(row.net_g) == pytest.approx(20 * body_g)
    assert mean_of(row.received_g) > 20 * (body_g + 2.4)


def test_a_weighed_item_is_not_flagged_as_estimated(model, jug):
    row = model.item_yield(Item(kind=jug, gross_g=62.0, weighed=Weighing.AS_RECEIVED))
    assert not row.estimated
    assert row.reasons == ()


@pytest.mark.parametrize("label_off", LabelOff)
def test_a_partly_removed_label_counts_half(model, jug, label_off):
    row = model.item_yield(
        Item(kind=jug, gross_g=60.0, weighed=Weighing.AS_RECEIVED, label=Label.PAPER, label_off=label_off)
    )
    left = {LabelOff.YES: 0.0, LabelOff.PARTLY: 0.5, LabelOff.NO: 1.0}[label_off]
    share = 0.3 * 0.01 + 0.4 * 0.02 + 0.3 * 0.034
    assert means(row.removed)["label"] == pytest.approx(left * share * mean_of(row.net_g))


def test_half_a_label_is_more_doubtful_than_none(model, jug):
    worn = {"kind": jug, "label": Label.PAPER, "gross_g": 60.0, "weighed": Weighing.AS_RECEIVED}
    none, half = (
        model.item_yield(Item(label_off=off, **worn)).removed["label"]
        for off in (LabelOff.YES, LabelOff.PARTLY)
    )
    assert sd_of(none) == 0.0 < sd_of(half)


@pytest.mark.parametrize("label", [Label.PRINTED, Label.IN_MOULD])
@pytest.mark.parametrize("weighed", WEIGHINGS, ids=str)
def test_a_label_that_is_part_of_the_wall_stays_on(handbook, model, label, weighed):
    tub = handbook.kinds.get("margarine-tub")
    row = model.item_yield(Item(kind=tub, label=label, gross_g=20.0, weighed=weighed))
    assert means(row.removed)["label"] == 0.0
    assert mean_of(row.foreign_g["label"]) > 0.0


@pytest.mark.parametrize("weighed", [None, Weighing.AS_RECEIVED], ids=str)
def test_split_off_caps_are_not_received_twice(handbook, model, jug, weighed):
    parent = Item(kind=jug, count=20, gross_g=1250.0, weighed=weighed, closure=Closure.ON, split_g=50.0)
    caps = Item(kind=handbook.kinds.get("bottle-cap"), count=20, gross_g=50.0, weighed=Weighing.AS_RECEIVED)
    a, b = model.item_yield(parent), model.item_yield(caps)
    assert means(a.removed)["closure"] == 0.0
    if weighed:
        assert mean_of(a.received_g + b.received_g) == pytest.approx(1250.0)
    else:
        whole = model.item_yield(Item(kind=jug, count=20, closure=Closure.ON))
        assert mean_of(a.net_g) == pytest.approx(mean_of(whole.net_g))
        assert mean_of(a.received_g) < mean_of(whole.received_g)
    assert apart_g(a) < 1e-6


@pytest.mark.parametrize("closure", [Closure.OFF, Closure.NONE])
def test_caps_split_off_before_a_prepared_weight_change_nothing_in_it(model, jug, closure):
    with_split = Item(kind=jug, gross_g=60.0, weighed=Weighing.PREPARED, closure=closure, split_g=2.5)
    row = model.item_yield(with_split)
    bare = model.item_yield(Item(kind=jug, gross_g=60.0, weighed=Weighing.PREPARED, closure=Closure.NONE))
    assert mean_of(row.received_g) == pytest.approx(mean_of(bare.received_g))
    assert mean_of(row.net_g) == pytest.approx(mean_of(bare.net_g))


@pytest.mark.parametrize(
    ("kind", "weighed", "split_g"), [("jug", Weighing.AS_RECEIVED, 60.0), ("crate", None, 90_000.0)]
)
def test_no_more_can_be_split_off_than_there_was(handbook, model, kind, weighed, split_g):
    item = Item(kind=handbook.kinds.get(kind), gross_g=60.0, weighed=weighed, split_g=split_g)
    with pytest.raises(BadInput, match="Parts split off"):
        model.item_yield(item)


def test_a_closure_comes_off_unless_it_is_kept(model, jug):
    item = Item(kind=jug, gross_g=64.0, weighed=Weighing.AS_RECEIVED, closure=Closure.ON)
    off, kept = model.item_yield(item), model.item_yield(item, keep_closure=True)
    assert mean_of(kept.net_g) == pytest.approx(mean_of(off.net_g) + mean_of(off.removed["closure"]))
    assert mean_of(kept.removed["closure"]) == 0.0
    assert apart_g(kept) < 1e-9


@pytest.mark.parametrize("closure", [Closure.OFF, Closure.NONE])
def test_a_closure_that_is_not_there_cannot_be_kept(model, jug, closure):
    item = Item(kind=jug, gross_g=60.0, weighed=Weighing.PREPARED, closure=closure)
    assert mean_of(model.item_yield(item, keep_closure=True).net_g) == mean_of(model.item_yield(item).net_g)


def test_guessed_jugs_share_their_error_and_weighed_ones_hardly(model, jug):
    guessed = [model.item_yield(Item(kind=jug)).shred_g for _ in range(20)]
    weighed = [
        model.item_yield(Item(kind=jug, gross_g=60.0, weighed=Weighing.PREPARED)).shred_g for _ in range(20)
    ]
    alone = math.sqrt(20) * sd_of(guessed[0])
    assert sd_of(total(guessed)) > 2.5 * alone
    assert sd_of(total(weighed)) < sd_of(total(guessed)) / 3


@pytest.mark.parametrize(
    "shredder", ["granulator", "blender-dry", "blender-wet", "scissors", "paper-shredder"]
)
def test_every_shredder_loses_something_and_keeps_most(handbook, jug, shredder):
    row = YieldModel(handbook.kinds, handbook.losses, shredder).item_yield(Item(kind=jug))
    assert 0.9 < mean_of(row.shred_g) / mean_of(row.net_g) < 1.0


@pytest.mark.parametrize(("shredder", "offcut"), [("granulater", "none"), ("granulator", "neck")])
def test_an_unknown_machine_is_named_with_the_nearest(handbook, shredder, offcut):
    with pytest.raises(UnknownName, match="nearest known"):
        YieldModel(handbook.kinds, handbook.losses, shredder, offcut)


@pytest.mark.parametrize(
    ("kind", "row"), [("tub", "food-thick"), ("milk bottle", "food-thin"), ("water bottle", "food-drink")]
)
def test_food_clings_by_how_it_runs(handbook, kind, row):
    item = Item(kind=handbook.kinds.get(kind), residue=Residue.FOOD)
    assert handbook.losses.residue_row(item) == row


def test_a_scale_alone_leaves_little_doubt_about_a_clean_bare_item(model, jug):
    row = model.item_yield(
        Item(kind=jug, gross_g=600.0, count=10, weighed=Weighing.PREPARED, closure=Closure.NONE)
    )
    shred = interval(row.shred_g)
    assert (shred.high - shred.low) / shred.mean < 0.12


def test_ten_thousand_rows_and_their_sum_take_under_three_seconds(handbook, model):
    kinds = list(handbook.kinds.rows.values())
    wear = itertools.cycle(itertools.product(WEIGHINGS, Closure, Label, Residue))
    rows = []
    for number, (weighed, closure, label, residue) in zip(range(10_000), wear, strict=False):
        kind = kinds[number % len(kinds)]
        rows.append(
            Item(
                kind=kind,
                closure=closure,
                label=label,
                residue=residue,
                weighed=weighed,
                gross_g=kind.body_g.high * 1.5,
            )
        )
    began = time.process_time()
    shred = total(model.item_yield(item).shred_g for item in rows)
    assert sd_of(shred) > 0.0
    assert chance_at_least(shred, mean_of(shred)) == pytest.approx(0.5)
    assert time.process_time() - began < 3.0


@pytest.mark.parametrize("residue", Residue)
@pytest.mark.parametrize("adhesive", Adhesive)
def test_a_weight_that_equals_the_guess_gives_the_guess_back(model, jug, residue, adhesive):
    worn = {
        "kind": jug, "count": 5, "closure": Closure.ON, "label": Label.PAPER, "residue": residue,
        "adhesive": adhesive,
    }  # fmt: skip
    guessed = model.item_yield(Item(**worn))
    weighed = model.item_yield(
        Item(**worn, gross_g=mean_of(guessed.received_g), weighed=Weighing.AS_RECEIVED, resolution_g=0.1)
    )
    assert mean_of(weighed.net_g) == pytest.approx(mean_of(guessed.net_g))
    assert means(weighed.removed) == pytest.approx(means(guessed.removed))


@pytest.mark.parametrize("weighed", WEIGHINGS, ids=str)
def test_cleaning_leaves_a_little_glue_and_residue_behind(handbook, model, jug, weighed):
    row = model.item_yield(
        Item(kind=jug, gross_g=70.0, weighed=weighed, adhesive=Adhesive.HEAVY, residue=Residue.EDIBLE_OIL)
    )
    left, off, foreign = handbook.losses.left_after_cleaning, means(row.removed), means(row.foreign_g)
    oil = 0.3 * left["residue"].low + 0.4 * left["residue"].typical + 0.3 * left["residue"].high
    glue = 0.3 * left["adhesive"].low + 0.4 * left["adhesive"].typical + 0.3 * left["adhesive"].high
    assert foreign["residue"] == pytest.approx(oil * off["residue"])
    # glue that is still on after prep is all still on
    share = 1.0 if weighed is Weighing.PREPARED else glue
    assert foreign["adhesive"] == pytest.approx(share * off["adhesive"])


@pytest.mark.parametrize("worn", [{"closure": Closure.OFF}, {"closure": Closure.ON, "split_g": 2.5}], ids=str)
def test_a_closure_that_left_before_is_not_kept(model, jug, worn):
    item = Item(kind=jug, **worn)
    assert mean_of(model.item_yield(item, keep_closure=True).net_g) == mean_of(model.item_yield(item).net_g)
    assert mean_of(model.item_yield(item, keep_closure=True).received_g) == pytest.approx(
        mean_of(model.item_yield(item).received_g)
    )
    assert means(model.item_yield(item, keep_closure=True).removed) == means(model.item_yield(item).removed)
