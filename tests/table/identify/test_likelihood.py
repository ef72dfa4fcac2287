"""What one observation says about each resin."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from intake.errors import BadInput, UnknownName
from intake.table.identify.density_tests import heard, likelihoods, p_floats, product, seen_float
from intake.table.identify.evidence import Cue, Density, FloatTest, Mark, MarkHow, Outcome
from intake.table.identify.likelihood import cue_log_likelihood, mark_log_likelihood, mark_says

finite = {"allow_nan": False, "allow_infinity": False}


@pytest.fixture(scope="module")
def tables(handbook):
    return handbook.identify


def dip(bath, outcome, sd=0.0025):
    return FloatTest(bath="b", bath_g_cm3=bath, bath_sd_g_cm3=sd, outcome=Outcome(outcome))


def alone(test, tables):
    return dict(zip(tables.resins.judged, heard(test, tables.ladder, tables.cues).alone, strict=True))


@pytest.mark.parametrize(
    ("text", "named"),
    [
        pytest.param("2", {"PE-HD"}, id="ASTM D7611, 2"),
        pytest.param("1 PET", {"PET"}, id="97/129/EC, 1"),
        pytest.param("PVC", {"PVC"}, id="ISO 1043-1, PVC"),
        pytest.param(">PP-TD20<", {"PP"}, id="ISO 11469, filled"),
        pytest.param("4", {"PE-LD", "PE-LLD"}, id="ASTM D7611, 4 is both"),
        pytest.param("20 PAP", {"other"}, id="97/129/EC, 20 is board"),
        pytest.param("zzz", set(), id="a text nobody knows"),
    ],
)
def test_a_mark_names_the_resins_it_can_mean(tables, text, named):
    assert set(mark_says(Mark(text=text), tables).named) == named


def test_a_filled_mark_is_known_to_be_filled(tables):
    assert mark_says(Mark(text=">PP-TD20<"), tables).filled
    assert not mark_says(Mark(text="PP"), tables).filled


@pytest.mark.parametrize("text", ["zzz", "", "recycle me"])
def test_a_mark_that_says_nothing_changes_nothing(tables, text):
    said = mark_says(Mark(text=text), tables)
    assert set(mark_log_likelihood(said.named, said.trust, tables)) == {0.0}


@pytest.mark.parametrize(
    ("strong", "weak"),
    [
        pytest.param(Mark(text="2 HDPE"), Mark(text="2"), id="number and letters over number"),
        pytest.param(Mark(text="HDPE"), Mark(text="HDPE", how=MarkHow.PRINTED), id="moulded over printed"),
        pytest.param(
            Mark(text="HDPE", how=MarkHow.PRINTED),
            Mark(text="HDPE", how=MarkHow.STICKER),
            id="print over sticker",
        ),
        pytest.param(Mark(text="5"), Mark(text="5", how=MarkHow.UNCLEAR), id="legible over worn"),
    ],
)
def test_a_clearer_mark_says_more(tables, strong, weak):
    def gap(mark):
        said = mark_says(mark, tables)
        logs = mark_log_likelihood(said.named, said.trust, tables)
        return max(logs) - min(logs)

    assert gap(strong) > gap(weak) > 0.0


@pytest.mark.parametrize("trust", [0.0, 0.5, 0.99, 1.0, 7.0])
def test_no_mark_is_proof_however_much_it_is_trusted(tables, trust):
    logs = mark_log_likelihood(("PP",), trust, tables)
    assert all(math.isfinite(x) for x in logs)
    assert max(logs) - min(logs) < math.log(1000)


def test_each_cue_s_levels_are_a_distribution_for_every_resin(tables):
    for cue in tables.cues.cues.values():
        for k in range(len(tables.resins.judged)):
            assert sum(cue.chances[level][k] for level in cue.levels) == pytest.approx(1.0, abs=1e-12)
            assert min(cue.chances[level][k] for level in cue.levels) >= 0.005


@pytest.mark.parametrize(
    ("cue", "value", "more", "less"),
    [
        pytest.param("nail_scratch", "easy_mark", "PE-LD", "PP", id="S-TWI: a nail marks PE-LD easily"),
        pytest.param(
            "nail_scratch", "faint_mark", "PE-HD", "PP", id="S-TWI: PE-HD can be scratched by a nail"
        ),
        pytest.param("feel", "waxy_slippery", "PE-LD", "PET", id="S-TWI: PE-LD feels waxy"),
        pytest.param(
            "stiffness", "limp_soft", "PE-LD", "PE-HD", id="S-TWI: PE-LD flexible, PE-HD fairly stiff"
        ),
        pytest.param("sound", "ringing_metallic", "PS", "PP", id="workshop rule: thin PS rings"),
        pytest.param("crease", "cracks_or_snaps", "PS", "PS-HI", id="common practice: clear PS snaps"),
        pytest.param("crease", "white_line_whole", "PS-HI", "PS", id="common practice: impact PS whitens"),
        pytest.param(
            "forming_mark", "stretch_blow_nub", "PET", "PE-HD", id="common practice: nub of PET bottles"
        ),
        pytest.param(
            "forming_mark", "pinch_seam", "PE-HD", "PET", id="common practice: pinch seam of PE-HD bottles"
        ),
        pytest.param("living_hinge", "yes_survives", "PP", "PS", id="common practice: hinges of PP"),
        pytest.param(
            "film_hand", "very_stretchy", "PE-LLD", "PE-HD", id="common practice: stretch film is PE-LLD"
        ),
    ],
)
def test_a_cue_points_where_the_trade_says(handbook, tables, cue, value, more, less):
    kind = handbook.kinds.get("carrier-bag" if cue == "film_hand" else "tub")
    logs = dict(
        zip(tables.resins.judged, cue_log_likelihood(Cue(name=cue, value=value), kind, tables), strict=True)
    )
    assert logs[more] > logs[less]


@pytest.mark.parametrize(
    ("kind", "cue", "value"),
    [
        pytest.param("tub", "nail_scratch", "unsure", id="nobody was sure"),
        pytest.param("carrier-bag", "nail_scratch", "no_mark", id="no nail test on film"),
        pytest.param("tub", "film_hand", "crisp_rustle", id="no film test on a tub"),
        pytest.param("pipe", "forming_mark", "extruded_or_film", id="a pipe already says extruded"),
    ],
)
def test_a_cue_that_cannot_tell_changes_nothing(handbook, tables, kind, cue, value):
    logs = cue_log_likelihood(Cue(name=cue, value=value), handbook.kinds.get(kind), tables)
    assert set(logs) == {0.0}


def test_an_unknown_cue_is_told_with_its_neighbours(handbook, tables):
    with pytest.raises(UnknownName, match="nail_scratch"):
        cue_log_likelihood(Cue(name="nail_scrach", value="no_mark"), handbook.kinds.get("tub"), tables)


def test_an_unknown_level_is_told_with_the_levels(handbook, tables):
    with pytest.raises(BadInput, match="easy_mark, faint_mark, no_mark, unsure"):
        cue_log_likelihood(Cue(name="nail_scratch", value="deep"), handbook.kinds.get("tub"), tables)


@given(
    mean=st.floats(0.85, 1.6, **finite),
    sd=st.floats(0.0, 0.1, **finite),
    bath=st.floats(0.8, 1.4, **finite),
    step=st.floats(1e-6, 0.2, **finite),
)
@settings(max_examples=100)
def test_a_denser_bath_never_makes_a_piece_sink(mean, sd, bath, step):
    assert p_floats(mean, sd, bath + step, 0.0025) >= p_floats(mean, sd, bath, 0.0025)


@given(
    bath=st.floats(0.8, 1.35, **finite),
    step=st.floats(0.0005, 0.1, **finite),
    sd=st.floats(0.001, 0.006, **finite),
)
@settings(max_examples=40, deadline=None)
def test_a_denser_bath_never_makes_sinking_more_likely_for_any_resin(tables, bath, step, sd):
    light, heavy = alone(dip(bath, "sinks", sd), tables), alone(dip(bath + step, "sinks", sd), tables)
    assert all(heavy[r] <= light[r] + 1e-4 for r in light)


@given(bath=st.floats(0.75, 1.9, **finite), sd=st.floats(0.0, 0.01, **finite))
@settings(max_examples=40, deadline=None)
def test_the_three_outcomes_share_one_item_between_them(tables, bath, sd):
    total = [
        sum(math.exp(alone(dip(bath, o, sd), tables)[r]) for o in ("floats", "sinks", "hovers"))
        for r in tables.resins.judged
    ]
    assert total == pytest.approx([1.0] * len(total), abs=1e-9)


@pytest.mark.parametrize(
    ("bath", "outcome", "fits", "not_"),
    [
        pytest.param(0.998, "floats", "PE-HD", "PS", id="polyolefins float in water"),
        pytest.param(0.998, "sinks", "PET", "PP", id="PET sinks in water"),
        pytest.param(0.925, "sinks", "PE-HD", "PP", id="recommended ladder 0.925: PE-HD sinks, PP floats"),
        pytest.param(1.08, "floats", "PS", "PMMA", id="recommended ladder 1.08: PS floats, PMMA sinks"),
        pytest.param(1.19, "sinks", "PET", "ABS", id="recommended ladder 1.19: PET sinks, ABS floats"),
        pytest.param(1.29, "floats", "PC", "PET", id="recommended ladder 1.29: PC floats, PET sinks"),
        pytest.param(0.998, "floats", "PS-E", "PS", id="foam floats though its resin sinks"),
    ],
)
def test_a_bath_parts_the_resins_it_is_mixed_for(tables, bath, outcome, fits, not_):
    logs = alone(dip(bath, outcome), tables)
    assert logs[fits] - logs[not_] > math.log(3)


def test_a_chalk_filled_pe_hd_that_sinks_is_unlikely_but_not_impossible(tables):
    share = math.exp(alone(dip(0.998, "sinks"), tables)["PE-HD"])
    assert 0.01 < share < 0.1


def test_a_repeated_float_test_is_not_two_independent_draws(tables):
    """The second dip of one piece says less than the first, since both see the same density."""
    ladder, place = tables.ladder, tables.place["PE-LD"]
    test = seen_float(dip(0.922, "floats"), ladder, tables.cues.float_errors)
    once = likelihoods(product((test,), len(ladder.middles)), ladder)[place]
    twice = likelihoods(product((test, test), len(ladder.middles)), ladder)[place]
    assert twice > 1.5 * once**2


@pytest.mark.parametrize("sd", [0.0, 1e-9, 0.0005, 0.004, 0.05, 0.9])
@pytest.mark.parametrize("value", [0.005, 0.03, 0.955, 1.38, 2.9, 3.0])
def test_any_density_a_scale_can_give_is_taken(tables, value, sd):
    logs = alone(Density(density_g_cm3=value, sd_g_cm3=sd), tables)
    assert all(math.isfinite(x) for x in logs.values())


def test_a_precise_density_says_more_than_a_coarse_one(tables):
    def gap(sd):
        logs = alone(Density(density_g_cm3=0.955, sd_g_cm3=sd), tables)
        return logs["PE-HD"] - logs["PP"]

    assert gap(0.003) > gap(0.01) > gap(0.05) > 0


def test_the_ladder_holds_every_item_once(tables):
    for row, sums in zip(tables.ladder.shares, tables.ladder.sums, strict=True):
        assert sum(row) == pytest.approx(1.0, abs=1e-12)
        assert sums[-1] == pytest.approx(1.0, abs=1e-12)
    assert all(0.0 <= f < 1.0 for f in tables.ladder.filled_share)
