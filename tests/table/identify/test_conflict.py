"""Strong pieces that cannot both be right are told, and weak ones are not."""

import pytest

from intake.table.identify.evidence import Cue, Density, FloatTest, Mark, Outcome
from intake.table.identify.posterior import judge


def dip(bath, outcome, name):
    return FloatTest(bath=name, bath_g_cm3=bath, outcome=Outcome(outcome))


def looks(**seen):
    return tuple(Cue(name=n, value=v) for n, v in seen.items())


HOLLOW = looks(
    transparency="clear", forming_mark="stretch_blow_nub", sound="crackle_rustle", nail_scratch="no_mark"
)
CASES = [
    pytest.param(
        "tub",
        (Mark(text="PP"), dip(0.998, "sinks", "water")),
        "conflict_mark_denser",
        {"mark": "PP", "bath": "water"},
        id="the mark says PP, it sinks in water",
    ),
    pytest.param(
        "clamshell",
        (Mark(text="1"), dip(0.998, "floats", "water")),
        "conflict_mark_lighter",
        {"mark": "PET", "bath": "water"},
        id="the mark says PET, it floats in water",
    ),
    pytest.param(
        "clamshell",
        (Mark(text="1"), dip(0.998, "hovers", "water")),
        "conflict_mark_hovers",
        {"mark": "PET"},
        id="the mark says PET, it hovers in water",
    ),
    pytest.param(
        "tub",
        (Mark(text="PP"), Density(density_g_cm3=1.05, sd_g_cm3=0.004)),
        "conflict_mark_density",
        {"mark": "PP", "density_g_cm3": 1.05},
        id="the mark says PP, the scale says 1.05",
    ),
    pytest.param(
        "tub",
        (dip(0.925, "floats", "alcohol"), dip(0.998, "sinks", "water")),
        "conflict_baths",
        {"light": "alcohol", "heavy": "water"},
        id="it rises in the lighter bath only",
    ),
    pytest.param(
        "tub",
        (dip(0.998, "sinks", "water"), Density(density_g_cm3=0.9, sd_g_cm3=0.004)),
        "conflict_bath_scale",
        {"bath": "water", "density_g_cm3": 0.9},
        id="sinks, but weighs light",
    ),
    pytest.param(
        "tub",
        (Density(density_g_cm3=0.9, sd_g_cm3=0.004), Density(density_g_cm3=0.96, sd_g_cm3=0.004)),
        "conflict_densities",
        {"light_g_cm3": 0.9, "heavy_g_cm3": 0.96},
        id="two weighings differ",
    ),
    pytest.param("tub", (Mark(text="PP"), Mark(text="6 PS")), "conflict_marks", {}, id="two marks differ"),
    pytest.param(
        "beverage-bottle",
        (Mark(text="2 HDPE"), *HOLLOW),
        "conflict_mark_looks",
        {"mark": "PE-HD", "resin": "PET"},
        id="the mark says PE-HD, all looks say PET",
    ),
    pytest.param(
        "jug",
        (dip(0.998, "sinks", "water"),),
        "conflict_kind_denser",
        {"bath": "water"},
        id="jugs hardly ever sink",
    ),
    pytest.param(
        "beverage-bottle",
        (dip(0.998, "floats", "water"),),
        "conflict_kind_lighter",
        {"bath": "water"},
        id="drink bottles hardly ever float",
    ),
]


@pytest.mark.parametrize(("kind", "evidence", "code", "values"), CASES)
def test_a_conflict_is_told_with_its_values(handbook, words, kind, evidence, code, values):
    odds = judge(handbook.kinds.get(kind), evidence, handbook.identify)
    told = {r.code: dict(r.values) for r in odds.conflict}
    assert code in told
    assert values.items() <= told[code].items()
    for reason in odds.conflict:
        sentence = words.reason(reason)
        assert sentence != f"reason.{reason.code}"
        assert "{" not in sentence


@pytest.mark.parametrize(
    ("kind", "evidence"),
    [
        pytest.param("tub", (), id="nothing seen"),
        pytest.param("tub", (Mark(text="PP"),), id="a mark alone"),
        pytest.param("tub", (Mark(text="PP"), dip(0.998, "floats", "water")), id="mark and bath agree"),
        pytest.param(
            "tub", (Mark(text=">PP-TD20<"), dip(0.998, "sinks", "water")), id="the mark tells the filler"
        ),
        pytest.param("foam-tray", (Mark(text="6"), dip(0.998, "floats", "water")), id="foam floats"),
        pytest.param("jug", (Mark(text="2"), Mark(text="HDPE")), id="two marks that say the same"),
        pytest.param("tub", (Mark(text="???"), dip(0.998, "sinks", "water")), id="a mark that says nothing"),
        pytest.param(
            "bottle-cap", (dip(0.998, "floats", "water"), dip(0.925, "sinks", "alcohol")), id="in between"
        ),
        pytest.param(
            "tub",
            (dip(0.998, "floats", "water"), Density(density_g_cm3=1.0, sd_g_cm3=0.004)),
            id="a weighing within its doubt of the bath",
        ),
        pytest.param("jug", (Mark(text="2"), *looks(transparency="opaque")), id="one weak look"),
        pytest.param(
            "juice-bottle",
            (Mark(text="2 HDPE"), dip(0.998, "floats", "water")),
            id="mark and bath against the kind",
        ),
    ],
)
def test_pieces_that_agree_are_left_alone(handbook, kind, evidence):
    assert judge(handbook.kinds.get(kind), evidence, handbook.identify).conflict == ()


@pytest.mark.parametrize(("kind", "evidence", "code", "values"), CASES[:6])
def test_a_conflict_is_found_in_any_order(handbook, kind, evidence, code, values):
    back = judge(handbook.kinds.get(kind), tuple(reversed(evidence)), handbook.identify)
    assert code in {r.code for r in back.conflict}
    assert values
