"""The posterior, its entropy and its float test, computed again with numpy and scipy from the TOML files alone."""

import itertools
import tomllib
from functools import cache
from pathlib import Path

import numpy as np
import pytest
from scipy import stats

from intake.table.identify.density_tests import p_floats
from intake.table.identify.evidence import Cue, Density, FloatTest, Mark, MarkHow, Outcome
from intake.table.identify.next_test import next_tests
from intake.table.identify.posterior import entropy_bits, judge

RESOURCES = Path(__file__).parents[2] / "resources"
CUES, KINDS, RESINS, MARKS = (
    tomllib.loads((RESOURCES / f"{n}.toml").read_text(encoding="utf-8"))
    for n in ("cues", "kinds", "resins", "marks")
)
FINE = np.arange(0.0, 3.2, 0.0001)  # g/cm3


def typical(figure):
    return figure["typical"]


def normal_of(figure):
    """Mean and sd of a low-typical-high range by the 30-40-30 rule (Swanson)."""
    points, weights = np.array([figure["low"], figure["typical"], figure["high"]]), np.array([0.3, 0.4, 0.3])
    mean = weights @ points
    return mean, max(np.sqrt(weights @ (points - mean) ** 2), 1e-3)


@cache
def density_of(resin):
    """Share of the resin's items per fine step; what lies below nothing counts as lightest foam."""
    rows = CUES["density"][resin]
    named = {n: r for n, r in rows.items() if n != "plain"}
    plain = rows["plain"]["density_g_cm3"] if "plain" in rows else RESINS["resins"][resin]["density_g_cm3"]
    left = 1.0 - sum(typical(r["share"]) for r in named.values())
    total = np.zeros_like(FINE)
    for share, figure in [
        (left, plain),
        *((typical(r["share"]), r["density_g_cm3"]) for r in named.values()),
    ]:
        mean, sd = normal_of(figure)
        under = stats.norm.cdf(FINE + 0.00005, mean, sd)
        total += share * np.diff(under, prepend=0.0)
    return total / total.sum()


def float_chance(test):
    f = {k: typical(v) for k, v in CUES["float"].items()}
    up, down, still = f["floats_though_denser"], f["sinks_though_lighter"], f["hovers_though_not"]
    bath = stats.norm(0.0, test.bath_sd_g_cm3)
    rises = bath.cdf(test.bath_g_cm3 - f["hover_g_cm3"] - FINE)
    drops = bath.cdf(FINE - test.bath_g_cm3 - f["hover_g_cm3"])
    stays = 1 - rises - drops
    slips = {"floats": up, "sinks": down, "hovers": still}
    true = {"floats": rises, "sinks": drops, "hovers": stays}
    outcome = test.outcome.value
    right = 1 - sum(s for o, s in slips.items() if o != outcome)
    return true[outcome] * right + (1 - true[outcome]) * slips[outcome]


def density_chance(test):
    gross = typical(CUES["weighing"]["gross_error"])
    return (1 - gross) * stats.norm.pdf(test.density_g_cm3, FINE, test.sd_g_cm3) + gross / 2.995


def expected_posterior(kind, evidence, names):
    """Bayes' rule from scratch; `names` gives what each mark can mean."""
    resins = [r for r in RESINS["resins"] if RESINS["resins"][r].get("judged_as", r) == r and r != "other"]
    resins.append("other")
    model = {k: typical(v) for k, v in CUES["model"].items()}
    priors = {n: np.array([p["share"].get(r, 0.0) for r in resins]) for n, p in KINDS["priors"].items()}
    everything = priors["unknown"]
    own = priors[KINDS["kinds"][kind]["prior"]]
    result = (1 - model["prior_mixing"]) * own + model["prior_mixing"] * everything
    groups: dict[str, list[np.ndarray]] = {}
    along = np.ones_like(FINE)
    for piece in evidence:
        if isinstance(piece, Cue):
            cue = CUES["cues"][piece.name]
            at, n = cue["levels"].index(piece.value), len(cue["levels"])
            rows = np.array([cue["likelihood"][r] for r in resins])
            rows = rows / rows.sum(axis=1, keepdims=True)
            smooth = (1 - model["smoothing"]) * rows[:, at] + model["smoothing"] / n
            groups.setdefault(cue["group"], []).append(smooth)
        elif isinstance(piece, Mark):
            meant, trust = names[piece.text]
            trust *= typical(MARKS["trust_how"][piece.how.value])
            hit = np.array([r in meant for r in resins])
            groups.setdefault("mark", []).append(trust * hit + (1 - trust) * everything[hit].sum())
        else:
            along *= float_chance(piece) if isinstance(piece, FloatTest) else density_chance(piece)
    for members in groups.values():
        result = result * np.prod(members, axis=0) ** (model["within_group"] if len(members) > 1 else 1.0)
    if any(isinstance(e, FloatTest | Density) for e in evidence):
        result = result * np.array([density_of(r) @ along for r in resins])
    return dict(zip(resins, result / result.sum(), strict=True))


def dip(bath, outcome, name="bath"):
    return FloatTest(bath=name, bath_g_cm3=bath, outcome=Outcome(outcome))


NUMBER, LETTERS = (typical(MARKS["trust"][n]) for n in ("number", "letters"))
MEANT = {
    "2": (("PE-HD",), NUMBER),
    "PP": (("PP",), LETTERS),
    "4": (("PE-LD", "PE-LLD"), NUMBER),
    "PVC": (("PVC",), LETTERS),
    "HDPE": (("PE-HD",), LETTERS),
}

LOOKS = (
    Cue(name="transparency", value="translucent"),
    Cue(name="nail_scratch", value="faint_mark"),
    Cue(name="feel", value="waxy_slippery"),
    Cue(name="forming_mark", value="pinch_seam"),
    Cue(name="crease", value="no_mark"),
)

CASES = [
    pytest.param("jug", (), 1e-9, id="prior alone"),
    pytest.param("detergent-bottle", (Mark(text="2"),), 1e-9, id="a number"),
    pytest.param("tub", (Mark(text="PP", how=MarkHow.STICKER),), 1e-9, id="letters on a sticker"),
    pytest.param("other", (Mark(text="4", how=MarkHow.UNCLEAR),), 1e-9, id="one number, two resins"),
    pytest.param("jug", (Mark(text="2"), Mark(text="HDPE")), 1e-9, id="two marks that share what they say"),
    pytest.param("other", LOOKS[:1], 1e-9, id="one look"),
    pytest.param("other", LOOKS, 1e-9, id="five looks in three groups"),
    pytest.param("other", (dip(0.998, "floats"),), 2e-4, id="floats in water"),
    pytest.param("other", (dip(0.998, "sinks"),), 2e-4, id="sinks in water"),
    pytest.param("other", (dip(0.998, "hovers"),), 3e-3, id="hovers in water"),
    pytest.param("tub", (dip(0.998, "floats"), dip(0.925, "sinks")), 2e-3, id="between two baths"),
    pytest.param(
        "other", (dip(1.08, "sinks"), dip(1.19, "floats"), dip(0.998, "sinks")), 2e-3, id="three baths"
    ),
    pytest.param("other", (Density(density_g_cm3=0.955, sd_g_cm3=0.004),), 2e-3, id="a weighing"),
    pytest.param("toy", (Density(density_g_cm3=1.05, sd_g_cm3=0.0008),), 4e-3, id="a very fine weighing"),
    pytest.param("other", (Density(density_g_cm3=1.2, sd_g_cm3=0.05),), 2e-3, id="a coarse weighing"),
    pytest.param(
        "pail",
        (
            Mark(text="PP"),
            dip(0.998, "floats"),
            dip(0.925, "sinks"),
            Density(density_g_cm3=0.96, sd_g_cm3=0.01),
            *LOOKS[:3],
        ),
        2e-3,
        id="everything at once",
    ),
    pytest.param("pipe", (Mark(text="PVC"), dip(1.19, "sinks"), LOOKS[0]), 2e-3, id="a pipe"),
]


@pytest.mark.parametrize(("kind", "evidence", "near"), CASES)
def test_the_posterior_is_what_numpy_makes_of_the_same_tables(handbook, kind, evidence, near):
    got = judge(handbook.kinds.get(kind), evidence, handbook.identify).probabilities
    expected = expected_posterior(kind, evidence, MEANT)
    assert set(got) == set(expected)
    for resin, share in expected.items():
        assert got[resin] == pytest.approx(share, abs=near), resin


@pytest.mark.parametrize(
    ("density", "sd", "bath", "row"),
    [
        pytest.param(0.905, 0.006, 0.930, 0.999, id="density_checks.md row 24, PP in 0.930"),
        pytest.param(0.955, 0.006, 0.930, 0.001, id="density_checks.md row 25, PE-HD in 0.930"),
        pytest.param(0.920, 0.00625, 0.930, 0.894, id="density_checks.md row 26, PE-LD in 0.930"),
        pytest.param(1.200, 0.006, 1.190, 0.100, id="density_checks.md row 27, PC in 1.190"),
    ],
)
def test_the_float_chance_follows_scipy_and_the_reference_row(density, sd, bath, row):
    """The rows leave out the resin's own spread; the one that gives the printed value is stated here."""
    got = p_floats(density, sd, bath, 0.005)
    assert got == pytest.approx(stats.norm.cdf(bath, density, np.hypot(sd, 0.005)), abs=1e-12)
    assert got == pytest.approx(row, abs=0.0006)


@pytest.mark.parametrize("seed", range(6))
def test_entropy_is_scipys(seed):
    chances = np.random.default_rng(seed).dirichlet(np.full(17, 0.3))
    assert entropy_bits(chances) == pytest.approx(stats.entropy(chances, base=2), abs=1e-12)


@pytest.mark.parametrize(
    ("kind", "evidence"),
    [
        pytest.param("other", (), id="nothing known"),
        pytest.param("tub", (Mark(text="PP"),), id="a mark"),
        pytest.param("bottle-cap", (dip(0.998, "floats"),), id="a float test"),
        pytest.param("toy", (Mark(text="2"), Cue(name="transparency", value="opaque")), id="mark and look"),
    ],
)
@pytest.mark.parametrize("cue", ["nail_scratch", "crease", "forming_mark", "sound"])
def test_the_information_of_a_cue_is_scipys_mutual_information(handbook, kind, evidence, cue):
    """Mutual information H(level) - H(level | resin), for a cue whose group was not asked yet."""
    tables, row = handbook.identify, handbook.kinds.get(kind)
    chances = np.array(list(judge(row, evidence, tables).probabilities.values()))
    test = tables.cues.cues[cue]
    levels = np.array([test.chances[level] for level in test.levels])
    marginal = stats.entropy(levels @ chances, base=2)
    within = chances @ stats.entropy(levels, base=2, axis=0)
    found = {t.test: t for t in next_tests(row, evidence, tables)}[cue]
    assert found.bits == pytest.approx(marginal - within, abs=1e-9)


@pytest.mark.parametrize("bath", ["water", "salt-1.08", "salt-1.19"])
@pytest.mark.parametrize(
    "evidence", [(), (Mark(text="PP"),), (dip(0.93, "sinks"),)], ids=["none", "mark", "bath"]
)
def test_the_information_of_a_bath_is_the_mean_drop_of_scipys_entropy(handbook, bath, evidence):
    """Each outcome is given to `judge` as if it had been seen; its chance is summed from the fine ladder."""
    tables, row = handbook.identify, handbook.kinds.get("other")
    density = tables.cues.baths[bath].bath_g_cm3
    now = judge(row, evidence, tables).probabilities
    along = np.prod(
        [float_chance(e) for e in evidence if isinstance(e, FloatTest)] or [np.ones_like(FINE)], axis=0
    )
    after = 0.0
    for outcome in Outcome:
        seen = float_chance(dip(density, outcome))
        chance = sum(p * (density_of(r) @ (along * seen)) / (density_of(r) @ along) for r, p in now.items())
        then = judge(row, (*evidence, dip(density, outcome)), tables).probabilities
        after += chance * stats.entropy(list(then.values()), base=2)
    found = {t.test: t for t in next_tests(row, evidence, tables)}[f"float:{bath}"]
    assert found.bits == pytest.approx(stats.entropy(list(now.values()), base=2) - after, abs=2e-3)


@pytest.mark.parametrize(
    ("kind", "seen", "resin", "share"),
    [
        pytest.param(
            "detergent-bottle",
            {
                "transparency": "opaque",
                "nail_scratch": "faint_mark",
                "forming_mark": "pinch_seam",
                "feel": "waxy_slippery",
            },
            "PE-HD",
            0.997,
            id="worked case 1",
        ),
        pytest.param(
            "hanger",
            {"transparency": "clear", "sound": "ringing_metallic", "crease": "cracks_or_snaps"},
            "PS",
            0.961,
            id="worked case 4",
        ),
        pytest.param(
            "carrier-bag",
            {"transparency": "translucent", "film_hand": "crisp_rustle"},
            "PE-HD",
            0.567,
            id="worked case 5",
        ),
        pytest.param(
            "tub-lid",
            {"transparency": "translucent", "nail_scratch": "easy_mark", "stiffness": "semi_flexible"},
            "PE-LD",
            0.870,
            id="worked case 7",
        ),
    ],
)
def test_the_reference_s_worked_cases_come_out_within_a_few_per_cent(handbook, kind, seen, resin, share):
    """cues.json `worked_posteriors`: 13 resins there, 17 here (PS split from PS-HI, `other` added)."""
    cues = [Cue(name=n, value=v) for n, v in seen.items()]
    odds = judge(handbook.kinds.get(kind), cues, handbook.identify)
    family = ("PS", "PS-HI") if resin == "PS" else (resin,)
    assert sum(odds.probabilities[r] for r in family) == pytest.approx(share, abs=0.03)


def test_the_order_of_the_evidence_changes_nothing_to_the_last_digits(handbook):
    pieces = (Mark(text="PP"), dip(0.998, "floats"), dip(0.925, "floats"), LOOKS[1])
    answers = [
        judge(handbook.kinds.get("tub"), order, handbook.identify).probabilities["PP"]
        for order in itertools.permutations(pieces)
    ]
    assert np.ptp(answers) < 1e-12
