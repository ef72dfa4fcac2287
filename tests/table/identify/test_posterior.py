"""What the odds must be like, whatever the evidence."""

import math
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from intake.errors import BadInput
from intake.table.identify.evidence import Cue, Density, FloatTest, Mark, MarkHow, Outcome
from intake.table.identify.posterior import judge


@pytest.fixture(scope="module")
def tables(handbook):
    return handbook.identify


@pytest.fixture(scope="module")
def kinds(handbook):
    return handbook.kinds


def dip(bath, outcome, name=None, sd=0.0025):
    return FloatTest(bath=name or f"{bath}", bath_g_cm3=bath, bath_sd_g_cm3=sd, outcome=Outcome(outcome))


marks = st.builds(
    Mark,
    text=st.sampled_from(["1", "2", "PP", "PVC", "7", ">PP-TD20<", "???", "20 PAP"]),
    how=st.sampled_from(list(MarkHow)),
)
dips = st.builds(
    FloatTest,
    bath=st.just("b"),
    bath_g_cm3=st.floats(0.75, 1.5),
    bath_sd_g_cm3=st.floats(0.0005, 0.01),
    outcome=st.sampled_from(list(Outcome)),
)
densities = st.builds(Density, density_g_cm3=st.floats(0.01, 2.5), sd_g_cm3=st.floats(0.0, 0.05))
cues = st.one_of(
    *(
        st.builds(Cue, name=st.just(n), value=st.sampled_from(v))
        for n, v in {
            "transparency": ("clear", "translucent", "opaque", "unsure"),
            "crease": ("no_mark", "white_line_whole", "cracks_or_snaps"),
            "nail_scratch": ("easy_mark", "faint_mark", "no_mark"),
            "sound": ("dull_thud", "clack"),
        }.items()
    )
)
pieces = st.lists(st.one_of(marks, dips, densities, cues), max_size=7)
kind_ids = st.sampled_from(
    ["jug", "tub", "bottle-cap", "pipe", "toy", "carrier-bag", "blister-pack", "other"]
)


@given(kind=kind_ids, evidence=pieces)
@settings(max_examples=80, deadline=None)
def test_the_odds_always_sum_to_one_and_none_is_impossible(kinds, tables, kind, evidence):
    odds = judge(kinds.get(kind), evidence, tables)
    assert sum(odds.probabilities.values()) == pytest.approx(1.0, abs=1e-12)
    assert all(0.0 < p < 1.0 for p in odds.probabilities.values())
    assert 0.0 <= odds.filled <= 1.0
    assert 0.0 <= odds.entropy_bits <= math.log2(len(odds.probabilities)) + 1e-9


@given(kind=kind_ids, evidence=pieces, data=st.data())
@settings(max_examples=50, deadline=None)
def test_the_order_of_the_evidence_does_not_matter(kinds, tables, kind, evidence, data):
    other = data.draw(st.permutations(evidence))
    a, b = (judge(kinds.get(kind), e, tables) for e in (evidence, other))
    assert a.probabilities == pytest.approx(b.probabilities, abs=1e-9)
    assert {r.code for r in a.conflict} == {r.code for r in b.conflict}


@given(kind=kind_ids, evidence=pieces)
@settings(max_examples=30, deadline=None)
def test_every_piece_is_told_with_what_it_said(kinds, tables, kind, evidence):
    odds = judge(kinds.get(kind), evidence, tables)
    assert [w.evidence for w in odds.weights] == list(evidence)
    assert all(set(w.log_likelihood) == set(tables.resins.judged) for w in odds.weights)


@given(kind=kind_ids, evidence=pieces)
@settings(max_examples=30, deadline=None)
def test_an_unsure_look_changes_nothing(kinds, tables, kind, evidence):
    more = [*evidence, Mark(text="")]
    assert judge(kinds.get(kind), more, tables).probabilities.keys() == set(tables.resins.judged)
    without = [e for e in evidence if not isinstance(e, Mark | Cue)]
    unsure = [*without, Cue(name="sound", value="unsure")]
    a, b = (judge(kinds.get(kind), e, tables).probabilities for e in (without, unsure))
    assert a == pytest.approx(b, abs=1e-12)


@pytest.mark.parametrize(
    ("kind", "evidence", "resin", "least"),
    [
        pytest.param(
            "jug", (Mark(text="2 HDPE"), dip(0.998, "floats")), "PE-HD", 0.99, id="a marked jug that floats"
        ),
        pytest.param(
            "beverage-bottle", (Mark(text="1"), dip(0.998, "sinks")), "PET", 0.99, id="a marked bottle"
        ),
        pytest.param(
            "bottle-cap", (dip(0.998, "floats"), dip(0.93, "sinks")), "PE-HD", 0.95, id="a PE-HD cap"
        ),
        pytest.param("bottle-cap", (dip(0.998, "floats"), dip(0.93, "floats")), "PP", 0.85, id="a PP cap"),
        pytest.param("foam-tray", (dip(0.998, "floats"),), "PS-E", 0.9, id="PS foam floats"),
        pytest.param("pipe", (Mark(text="PVC"), dip(1.19, "sinks")), "PVC", 0.98, id="a PVC pipe"),
        pytest.param(
            "cd-case",
            (Cue(name="transparency", value="clear"), Cue(name="sound", value="ringing_metallic")),
            "PS",
            0.9,
            id="a clear ringing case",
        ),
    ],
)
def test_plain_cases_come_out_plainly(kinds, tables, kind, evidence, resin, least):
    odds = judge(kinds.get(kind), evidence, tables)
    assert (odds.most_likely, odds.probability >= least) == (resin, True)
    assert odds.conflict == ()


def test_a_chalk_filled_pe_hd_that_sinks_is_modelled_and_not_ignored(kinds, tables):
    dry = judge(kinds.get("jug"), (Mark(text="2 HDPE"),), tables)
    sunk = judge(kinds.get("jug"), (Mark(text="2 HDPE"), dip(0.998, "sinks")), tables)
    assert sunk.most_likely == "PE-HD"
    assert sunk.filled > 0.4
    assert dry.filled < 0.1
    assert sunk.conflict


def test_a_mark_that_tells_of_a_filler_explains_the_sinking(kinds, tables):
    odds = judge(kinds.get("tub"), (Mark(text=">PP-TD20<"), dip(0.998, "sinks")), tables)
    plain = judge(kinds.get("tub"), (Mark(text=">PP<"), dip(0.998, "sinks")), tables)
    assert odds.probabilities["PP"] > plain.probabilities["PP"] + 0.1
    assert odds.filled > 0.8
    assert odds.conflict == ()


def test_two_looks_of_one_group_count_less_than_twice(kinds, tables):
    kind = kinds.get("tub")
    one = judge(kind, (Cue(name="nail_scratch", value="easy_mark"),), tables)
    two = judge(
        kind, (Cue(name="nail_scratch", value="easy_mark"), Cue(name="feel", value="waxy_slippery")), tables
    )
    scratch, feel = two.weights
    full = one.weights[0].log_likelihood
    assert scratch.log_likelihood["PE-LD"] == pytest.approx(tables.cues.within_group * full["PE-LD"])
    assert feel.log_likelihood["PE-LD"] > feel.log_likelihood["PP"]


def test_a_wrong_mark_is_outvoted_by_two_baths(kinds, tables):
    evidence = (Mark(text="5 PP"), dip(0.998, "sinks"), dip(1.08, "sinks"), dip(1.19, "sinks"))
    odds = judge(kinds.get("clamshell"), evidence, tables)
    assert odds.most_likely == "PET"
    assert odds.probabilities["PP"] < 0.2


@pytest.mark.parametrize(
    ("kind", "evidence", "held"),
    [
        pytest.param(
            "blister-pack",
            (dip(0.998, "sinks"), Cue(name="transparency", value="clear")),
            True,
            id="a clear blister on density and looks",
        ),
        pytest.param(
            "clamshell",
            (
                dip(1.29, "sinks"),
                Cue(name="transparency", value="clear"),
                Cue(name="crease", value="white_line_whole"),
            ),
            True,
            id="a clear box in the heaviest bath",
        ),
        pytest.param(
            "blister-pack",
            (Density(density_g_cm3=1.38, sd_g_cm3=0.002),),
            True,
            id="the finest weighing does not part PET from PVC",
        ),
        pytest.param(
            "clamshell",
            (Mark(text="1 PET"), dip(0.998, "sinks"), Cue(name="transparency", value="clear")),
            False,
            id="a mark of its own says PET",
        ),
        pytest.param(
            "clamshell",
            (
                Mark(text="5 PP"),
                dip(0.998, "sinks"),
                dip(1.19, "sinks"),
                Cue(name="transparency", value="clear"),
            ),
            True,
            id="a mark that says something else",
        ),
        pytest.param("jug", (dip(0.998, "floats"),), False, id="a jug that floats is neither"),
        pytest.param("food-jar", (dip(0.998, "sinks"),), True, id="nobody looked through it"),
    ],
)
def test_a_clear_piece_that_may_be_pvc_gets_a_second_look(kinds, tables, kind, evidence, held):
    odds = judge(kinds.get(kind), evidence, tables)
    assert (odds.second_look is not None) is held
    if held:
        assert odds.second_look.code == "second_look_pvc"


def test_looking_or_weighing_alone_never_makes_a_clear_blister_sure(kinds, tables):
    """Check value of the reference: clear blister fronts end at about 50:50 on cues."""
    looks = (
        Cue(name="transparency", value="clear"),
        Cue(name="crease", value="white_line_whole"),
        Density(density_g_cm3=1.37, sd_g_cm3=0.004),
        dip(0.998, "sinks"),
    )
    odds = judge(kinds.get("blister-pack"), looks, tables)
    assert 0.1 < odds.probabilities["PVC"] < 0.9
    assert 0.1 < odds.probabilities["PET"] < 0.9
    assert odds.second_look is not None


@pytest.mark.parametrize(
    "piece",
    [
        pytest.param(Density(density_g_cm3=-1.0, sd_g_cm3=0.01), id="below nothing"),
        pytest.param(Density(density_g_cm3=7.8, sd_g_cm3=0.01), id="steel"),
        pytest.param(Density(density_g_cm3=math.nan, sd_g_cm3=0.01), id="no number"),
        pytest.param(Density(density_g_cm3=0.95, sd_g_cm3=-0.1), id="a negative doubt"),
        pytest.param(Density(density_g_cm3=0.95, sd_g_cm3=math.inf), id="an endless doubt"),
        pytest.param(dip(0.3, "floats"), id="a bath lighter than any liquid at hand"),
        pytest.param(dip(13.5, "floats"), id="mercury"),
        pytest.param(dip(math.inf, "sinks"), id="no bath"),
    ],
)
def test_what_cannot_be_is_refused_in_a_sentence(kinds, tables, piece):
    with pytest.raises(BadInput, match="Expected"):
        judge(kinds.get("tub"), (piece,), tables)


@pytest.mark.parametrize(
    "prior", [{}, {"PP": 0.0}, {"PP": -1.0, "PET": 2.0}, {"PP": math.inf}, {"PP": math.nan}]
)
def test_a_prior_that_sums_to_nothing_is_refused(kinds, tables, prior):
    with pytest.raises(BadInput, match="sum to 1"):
        judge(replace(kinds.get("tub"), prior=prior), (), tables)


def test_something_beside_a_mark_makes_it_physical(kinds, tables):
    kind = kinds.get("tub")
    assert not judge(kind, (Mark(text="PP"),), tables).physical
    assert judge(kind, (Mark(text="PP"), dip(0.998, "floats")), tables).physical
