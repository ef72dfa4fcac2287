"""The next test: the most telling per minute of what the table can do safely."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from intake.errors import BadInput
from intake.table.identify.evidence import Cue, Density, FloatTest, Mark, Outcome
from intake.table.identify.next_test import next_tests
from intake.table.identify.posterior import judge

WHOLE = frozenset({"water", "salt-bath", "alcohol-bath", "sugar-bath", "kitchen-scale", "burner"})
HOT = {"burn_smell", "hot_needle"}


def dip(bath, outcome, name="bath"):
    return FloatTest(bath=name, bath_g_cm3=bath, outcome=Outcome(outcome))


@pytest.fixture
def ask(handbook):
    def _ask(kind, *evidence, **options):
        return {
            t.test: t for t in next_tests(handbook.kinds.get(kind), evidence, handbook.identify, **options)
        }

    return _ask


@pytest.mark.parametrize(
    ("kit", "there", "missing"),
    [
        pytest.param(
            None,
            {"float:water", "float:salt-1.08", "density", "crease"},
            {"float:alcohol", "float:sugar"},
            id="usual kit: water, salt bath, kitchen scale",
        ),
        pytest.param(frozenset(), {"crease", "sound"}, {"float:water", "density"}, id="bare hands"),
        pytest.param(frozenset({"water"}), {"float:water"}, {"density", "float:salt-1.08"}, id="water alone"),
        pytest.param(
            WHOLE, {"float:alcohol", "float:sugar", "density"}, HOT, id="everything, still nothing hot"
        ),
    ],
)
def test_only_what_the_table_has_is_proposed(ask, kit, there, missing):
    found = set(ask("other", kit=kit))
    assert there <= found
    assert not missing & found


@pytest.mark.parametrize(
    ("evidence", "gone"),
    [
        pytest.param(Cue(name="crease", value="no_mark"), "crease", id="a look already had"),
        pytest.param(Cue(name="sound", value="unsure"), "sound", id="a look nobody was sure of"),
        pytest.param(dip(0.998, "floats"), "float:water", id="water by its density"),
        pytest.param(dip(1.081, "floats"), "float:salt-1.08", id="a bath very near"),
        pytest.param(Density(density_g_cm3=0.95, sd_g_cm3=0.01), "density", id="weighed already"),
    ],
)
def test_a_test_already_made_is_not_proposed(ask, evidence, gone):
    assert gone in ask("other")
    assert gone not in ask("other", evidence)


@pytest.mark.parametrize(
    ("kind", "missing"),
    [
        pytest.param("tub", {"film_hand"}, id="no film test on a tub"),
        pytest.param(
            "carrier-bag", {"nail_scratch", "sound", "density"}, id="no nail, drop or weighing of a bag"
        ),
        pytest.param("pipe", {"forming_mark"}, id="a pipe already says how it was formed"),
    ],
)
def test_a_test_that_does_not_suit_the_kind_is_not_proposed(ask, kind, missing):
    assert not missing & set(ask(kind))


@pytest.mark.parametrize(
    ("kind", "evidence"),
    [
        pytest.param("pipe", (), id="PVC suspected"),
        pytest.param("toy", (), id="ABS suspected"),
        pytest.param("foam-tray", (), id="foam suspected"),
        pytest.param("blister-pack", (dip(0.998, "sinks"),), id="a clear sinker that may be PVC"),
        pytest.param("other", (), id="could be anything, fluoropolymers too"),
        pytest.param("housing", (Mark(text=">ABS-FR(17)<"),), id="a fire-retarded housing"),
    ],
)
def test_suspicion_of_pvc_abs_or_fluoropolymer_disables_flame_and_needle(ask, kind, evidence):
    assert not HOT & set(ask(kind, *evidence, kit=WHOLE, hot=True))


def test_a_flame_is_proposed_only_when_asked_for_and_cautions_come_with_it(ask):
    evidence = (Mark(text="2 HDPE"), dip(0.998, "floats"))
    assert not HOT & set(ask("jug", *evidence, kit=WHOLE))
    found = ask("jug", *evidence, kit=WHOLE, hot=True)
    assert set(found) >= HOT
    assert found["burn_smell"].cautions[0] == "burn-test"
    assert found["hot_needle"].cautions[0] == "hot-needle"


def test_every_caution_of_a_test_has_a_row_and_words(handbook, words):
    cues = handbook.identify.cues
    efforts = [
        *(c.effort for c in cues.cues.values()),
        *(b.effort for b in cues.baths.values()),
        cues.hanging.effort,
    ]
    named = {c for e in efforts for c in e.cautions}
    assert named
    assert named <= set(handbook.cautions.rows)
    assert all(words(f"caution.{c}.text") != f"caution.{c}.text" for c in named)


def test_every_test_has_words_that_say_how(handbook, words):
    cues = handbook.identify.cues
    ids = [*cues.cues, *(f"float:{b}" for b in cues.baths), "density"]
    assert [i for i in ids if words(f"test.{i}") == f"test.{i}"] == []


def test_the_ranking_goes_by_bits_per_minute(handbook):
    found = next_tests(handbook.kinds.get("other"), (), handbook.identify, kit=WHOLE)
    rates = [t.bits_per_minute for t in found]
    assert rates == sorted(rates, reverse=True)
    assert all(t.bits_per_minute == pytest.approx(t.bits / t.minutes) for t in found)


@pytest.mark.parametrize(
    ("kind", "evidence", "better", "worse"),
    [
        pytest.param(
            "bottle-cap",
            (dip(0.998, "floats"),),
            "float:alcohol",
            "float:salt-1.19",
            id="0.925 parts PE-HD from PP, 1.19 cannot",
        ),
        pytest.param(
            "tub",
            (Cue(name="transparency", value="opaque"),),
            "float:water",
            "float:sugar",
            id="water parts PP from PS-HI, sugar cannot",
        ),
        pytest.param(
            "clamshell",
            (dip(0.998, "sinks"),),
            "float:salt-1.19",
            "float:alcohol",
            id="what sinks in water sinks in alcohol too",
        ),
        pytest.param("carrier-bag", (), "film_hand", "float:water", id="all film resins float"),
    ],
)
def test_the_test_that_parts_the_likely_resins_tells_more(ask, kind, evidence, better, worse):
    found = ask(kind, *evidence, kit=WHOLE)
    assert found[better].bits > 2 * found[worse].bits


@given(
    kind=st.sampled_from(["jug", "tub", "toy", "other", "carrier-bag"]),
    mark=st.sampled_from(["2", "PP", "PVC", "7", "?"]),
    bath=st.floats(0.85, 1.3),
    outcome=st.sampled_from(list(Outcome)),
    look=st.sampled_from(["easy_mark", "no_mark"]),
)
@settings(max_examples=25, deadline=None)
def test_no_test_promises_less_than_nothing_or_more_than_is_unknown(
    handbook, kind, mark, bath, outcome, look
):
    row = handbook.kinds.get(kind)
    evidence = (Mark(text=mark), dip(bath, outcome), Cue(name="nail_scratch", value=look))
    unknown = judge(row, evidence, handbook.identify).entropy_bits
    for test in next_tests(row, evidence, handbook.identify, kit=WHOLE):
        assert 0.0 <= test.bits <= unknown + 1e-9


def test_weighing_promises_what_a_fine_sum_over_its_readings_gives(handbook):
    """The promise is worked out on a coarse ladder; here every reading from 0.8 to 1.7 is judged on its own."""
    tables, row = handbook.identify, handbook.kinds.get("bottle-cap")
    sd, step = tables.cues.hanging.sd_g_cm3, 0.0025
    prior = judge(row, (), tables)
    after = 0.0
    for k in range(int((1.7 - 0.8) / step)):
        odds = judge(row, (Density(density_g_cm3=0.8 + (k + 0.5) * step, sd_g_cm3=sd),), tables)
        logs = odds.weights[0].log_likelihood
        chance = sum(p * 2.718281828459045 ** logs[r] for r, p in prior.probabilities.items()) * step
        after += chance * odds.entropy_bits
    promised = {t.test: t for t in next_tests(row, (), tables)}["density"].bits
    assert promised == pytest.approx(prior.entropy_bits - after, abs=0.06)


def test_an_impossible_reading_is_refused(handbook):
    with pytest.raises(BadInput, match="Density"):
        next_tests(handbook.kinds.get("tub"), (Density(density_g_cm3=9.0, sd_g_cm3=0.1),), handbook.identify)
