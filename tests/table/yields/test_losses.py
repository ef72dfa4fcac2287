"""The loss tables and the variables drawn from them."""

import copy

import pytest

from intake.errors import HandbookGap
from intake.handbook import bulk, losses
from intake.handbook.figures import RawTable, raw_table
from intake.spread import mean_of, sd_of
from intake.table.item import Adhesive, Item, Label, Residue
from intake.table.yields.losses import STAYS_ON, Guesses, spread_of
from intake.table.yields.shred import YieldModel


@pytest.fixture(scope="module")
def guesses(handbook):
    return Guesses.of(handbook.kinds, handbook.losses, "granulator", "none")


@pytest.mark.parametrize("residue", Residue)
@pytest.mark.parametrize("kind", ["jug", "tub", "water-bottle", "pipe"])
def test_every_residue_of_every_kind_has_a_row(handbook, residue, kind):
    item = Item(kind=handbook.kinds.get(kind), residue=residue)
    assert handbook.losses.residue_row(item) in handbook.losses.residue


@pytest.mark.parametrize("label", Label)
def test_every_label_has_a_share(handbook, guesses, label):
    share = mean_of(guesses.label(Item(kind=handbook.kinds.get("crate"), label=label)))
    assert (share == 0.0) is (label is Label.NONE)


@pytest.mark.parametrize("adhesive", Adhesive)
def test_every_glue_has_a_share(guesses, adhesive):
    assert 0.0 <= mean_of(guesses.adhesive_share[adhesive]) < 0.1


def test_more_glue_weighs_more(guesses):
    shares = [mean_of(guesses.adhesive_share[a]) for a in (Adhesive.NONE, Adhesive.RESIDUE, Adhesive.HEAVY)]
    assert shares == sorted(shares)


@pytest.mark.parametrize("kind", ["jug", "detergent-bottle", "water-bottle"])
def test_the_usual_label_takes_the_kind_s_own_share(handbook, guesses, kind):
    found = handbook.kinds.get(kind)
    assert guesses.label(Item(kind=found, label=Label(found.label))) is guesses.kinds[found.id].label_share


@pytest.mark.parametrize("label", sorted(STAYS_ON))
def test_a_label_in_the_wall_takes_the_table_s_share(handbook, guesses, label):
    found = next(k for k in handbook.kinds.rows.values() if k.label == label)
    assert guesses.label(Item(kind=found, label=label)) is guesses.label_share[label]


def test_every_kind_has_a_guess(handbook, guesses):
    assert set(guesses.kinds) == set(handbook.kinds.rows)
    assert all(mean_of(g.body_g) > 0 for g in guesses.kinds.values())


def test_a_figure_without_range_has_no_doubt(handbook):
    assert sd_of(spread_of(handbook.losses.offcut["none"], "none")) == 0.0


def test_food_that_clings_leaves_more(handbook):
    rows = handbook.losses.residue
    order = [rows[r].typical for r in ("clean", "rinsed", "food-drink", "food-thin", "food-thick")]
    assert order == sorted(order)


def test_two_models_do_not_share_their_guesses(handbook):
    jug = handbook.kinds.get("jug")
    one, other = (
        YieldModel(handbook.kinds, handbook.losses).item_yield(Item(kind=jug)).net_g for _ in range(2)
    )
    assert sd_of(one - other) == pytest.approx(sd_of(one) * 2**0.5)


def broken(name, path, value):
    """The table `name` with one value changed, as if somebody had mistyped it."""
    table = raw_table(name)
    data = copy.deepcopy(dict(table.data))
    row = data
    for key in path[:-1]:
        row = row[key]
    if value is None:
        del row[path[-1]]
    else:
        row[path[-1]] = value
    return RawTable(name=name, edition=table.edition, data=data)


@pytest.mark.parametrize(
    ("path", "value", "says"),
    [
        (("moisture", "high"), 1.5, "a share from 0 to 1"),
        (("residue", "rinsed", "low"), -0.1, "a share from 0 to 1"),
        (("residue", "food-thick"), None, "a row called food-thick"),
        (("adhesive", "heavy"), None, "a row called heavy"),
        (("food", "thick"), ["tubb"], "a kind of kinds.toml"),
        (("fines", "granulator", "why"), "", "a one-line why"),
    ],
)
def test_a_faulty_loss_is_found(handbook, monkeypatch, path, value, says):
    monkeypatch.setattr(losses, "raw_table", lambda name: broken(name, path, value))
    with pytest.raises(HandbookGap, match=says):
        losses.read_losses(handbook.kinds)


@pytest.mark.parametrize(
    ("path", "value", "says"),
    [
        (("packing_share", "low"), 0.0, "a figure above 0"),
        (("loose", "film", "low"), -0.01, "a figure above 0"),
        (("shred", "film-fluff", "default"), None, "a default row"),
        (
            ("shred", "film-fluff", "PE-XX"),
            {"low": 1, "typical": 1, "high": 1, "basis": "memory"},
            "a resin of",
        ),
    ],
)
def test_a_faulty_bulk_density_is_found(handbook, monkeypatch, path, value, says):
    monkeypatch.setattr(bulk, "raw_table", lambda name: broken(name, path, value))
    with pytest.raises(HandbookGap, match=says):
        bulk.read_bulk(handbook.resins)
