"""Which steps are left, in which order, by which safe methods."""

import copy
import itertools

import pytest

from intake.errors import HandbookGap
from intake.handbook import prep
from intake.handbook.figures import RawTable, raw_table
from intake.table.item import Adhesive, Closure, Item, Label, LabelOff, Residue, Weighing
from intake.table.prep.steps import FORBIDDEN_METHODS, StepName, steps_left
from intake.table.resins import ResinId

PE_HD = ResinId("PE-HD")


def left(handbook, resin=PE_HD, **worn):
    return steps_left(Item(kind=handbook.kinds.get("jug"), **worn), resin, handbook.prep)


@pytest.mark.parametrize(
    ("worn", "names"),
    [
        ({}, []),
        ({"closure": Closure.ON}, ["closure"]),
        ({"closure": Closure.OFF}, []),
        ({"residue": Residue.FOOD}, ["residue", "dry"]),
        ({"residue": Residue.CLEAN}, []),
        ({"label": Label.PAPER}, ["label", "dry"]),
        ({"label": Label.SLEEVE}, ["label"]),
        ({"label": Label.PAPER, "label_off": LabelOff.YES}, []),
        ({"label": Label.PAPER, "label_off": LabelOff.PARTLY}, ["label", "dry"]),
        ({"label": Label.IN_MOULD}, []),
        ({"label": Label.PRINTED}, []),
        ({"adhesive": Adhesive.HEAVY}, ["adhesive", "dry"]),
        ({"residue": Residue.FOOD, "weighed": Weighing.PREPARED, "gross_g": 60.0}, []),
        ({"residue": Residue.MOTOR_OIL}, []),
        ({"residue": Residue.HAZARDOUS}, []),
        (
            {
                "closure": Closure.ON, "residue": Residue.EDIBLE_OIL, "label": Label.PAPER,
                "adhesive": Adhesive.RESIDUE,
            },
            ["closure", "residue", "label", "adhesive", "dry"],
        ),
    ],
    ids=str,
)  # fmt: skip
def test_the_steps_that_are_left(handbook, worn, names):
    assert [s.name.value for s in left(handbook, **worn)] == names


def every_wear():
    return itertools.product(Closure, Residue, Label, LabelOff, Adhesive)


def test_steps_always_come_in_the_order_that_saves_work(handbook):
    order = list(StepName)
    for closure, residue, label, label_off, adhesive in every_wear():
        steps = left(
            handbook, closure=closure, residue=residue, label=label, label_off=label_off, adhesive=adhesive
        )
        places = [order.index(s.name) for s in steps]
        assert places == sorted(set(places))


@pytest.mark.parametrize("resin", ["PE-HD", "PP", "PET", "PS", "ABS", "PC", "PVC", "PLA", "PS-E", "other"])
def test_every_step_has_a_method_for_every_resin(handbook, resin):
    for closure, residue, label, label_off, adhesive in every_wear():
        worn = {
            "closure": closure,
            "residue": residue,
            "label": label,
            "label_off": label_off,
            "adhesive": adhesive,
        }
        assert all(s.methods for s in left(handbook, ResinId(resin), **worn))


@pytest.mark.parametrize("word", sorted(FORBIDDEN_METHODS))
def test_a_forbidden_method_is_never_offered(handbook, word):
    assert not [m.id for m in handbook.prep.methods if word in m.id]


@pytest.mark.parametrize("resin", ["PS", "PS-HI", "ABS", "SAN", "PC", "PMMA"])
def test_oil_never_touches_what_it_cracks(handbook, resin):
    # contaminants.json M2: oil stress-cracks PS, ABS, PC (memory)
    step = left(handbook, ResinId(resin), adhesive=Adhesive.HEAVY)[0]
    assert "oil-then-detergent" not in step.methods
    assert "method_harms_resin" in [r.code for r in step.reasons]


def test_oil_is_offered_for_polyethylene(handbook):
    assert "oil-then-detergent" in left(handbook, adhesive=Adhesive.HEAVY)[0].methods


@pytest.mark.parametrize("method", ["soak", "washing-soda"])
def test_no_bath_is_hotter_than_sixty(handbook, method):
    # contaminants.json M1: not above 60 degC for PET and PLA (LABEL-DIY, WASH-40)
    found = next(m for m in handbook.prep.methods if m.id == method)
    assert found.water_c is not None
    assert found.water_c.high <= 60


def test_gentle_methods_come_before_rough_ones(handbook):
    methods = left(handbook, label=Label.PAPER)[0].methods
    assert methods[0] == "soak"
    assert methods[-1] == "scrape"


def test_a_stubborn_paper_label_may_be_cut_out(handbook):
    assert "cut_out_stubborn_label" in [r.code for r in left(handbook, label=Label.PAPER)[0].reasons]


def test_every_method_and_step_has_words(handbook, words):
    wanted = [f"method.{m.id}" for m in handbook.prep.methods] + [f"step.{s.value}" for s in StepName]
    assert not [key for key in wanted if key not in words.texts]


def test_every_caution_of_a_method_has_words(handbook, words):
    named = {c for m in handbook.prep.methods for c in m.cautions}
    assert not [c for c in named if f"caution.{c}.text" not in words.texts]


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
        (("methods", "caustic-bath"), {"suits": ["dry"]}, "a method safe at a table"),
        (("methods", "acetone-wipe"), {"suits": ["dry"]}, "a method safe at a table"),
        (("methods", "soak", "never"), ["PE-XX"], "a resin of resins.toml"),
        (("methods", "twist-off"), None, "a method and a hand time"),
        (("hand_s", "label:film"), None, "a method and a hand time"),
        (("hand_s", "dry", "high"), 0, "low ≤ typical ≤ high"),
    ],
)
def test_a_faulty_method_is_found(handbook, monkeypatch, path, value, says):
    monkeypatch.setattr(prep, "raw_table", lambda name: broken(name, path, value))
    with pytest.raises(HandbookGap, match=says):
        prep.read_prep(handbook.resins)
