"""The resin verdict: accept, hold or refuse before anything is washed."""

from collections.abc import Mapping
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from intake.errors import BadInput, UnknownName
from intake.handbook import Handbook
from intake.handbook.locate import resources
from intake.table.compat.cautions import NAMED_BY_RULES
from intake.table.compat.decision import ResinVerdict, Verdict
from intake.table.compat.verdict import VerdictLimits, resin_verdict
from intake.table.identify.evidence import Cue, FloatTest, Mark, Outcome
from intake.table.identify.odds import Posterior, Weight
from intake.table.item import Item, Residue
from intake.table.resins import Reason, ResinId
from intake.words import catalogue

BOOK = Handbook()
JUDGED = BOOK.resins.judged
LIMITS = VerdictLimits()
WORDS = catalogue(resources() / "words")
FLOATS = FloatTest(bath="water", bath_g_cm3=0.998, outcome=Outcome.FLOATS)
DISAGREE = (Reason.of("pair_same", host="a", guest="b"),)
"""Any reason stands for evidence that disagrees; which one does not matter here."""


def odds(
    named: Mapping[str, float], *, seen: tuple[Mark | FloatTest | Cue, ...] = (Mark(text="2"), FLOATS),
    filled: float = 0.0, conflict: tuple[Reason, ...] = (),
) -> Posterior:  # fmt: skip
    probabilities = {r: named.get(str(r), 0.0) for r in JUDGED}
    weights = tuple(Weight(evidence=e, log_likelihood=dict.fromkeys(JUDGED, 0.0)) for e in seen)
    return Posterior(
        probabilities=probabilities, entropy_bits=0.0, filled=filled, conflict=conflict, weights=weights
    )  # fmt: skip


def item(kind: str = "jug", residue: Residue = Residue.CLEAN, colour: str = "natural") -> Item:
    return Item(kind=BOOK.kinds.get(kind), residue=residue, colour=colour)


def kind_with(flag: str) -> str:
    return next(k.id for k in BOOK.kinds.rows.values() if flag in k.flags)


def judge(
    found: Posterior, thing: Item | None = None, *hosts: str, limits: VerdictLimits = LIMITS
) -> ResinVerdict:
    wanted = [ResinId(h) for h in hosts or ("PE-HD",)]
    return resin_verdict(found, thing or item(), wanted, BOOK.matrix, BOOK.resins, limits)


def codes(verdict: ResinVerdict) -> list[str]:
    return [r.code for r in verdict.reasons]


SURE = {"PE-HD": 0.99, "PP": 0.0099, "PVC": 0.0001}


# --- accept ----------------------------------------------------------------------------------------------------


def test_a_clean_tested_jug_is_accepted_with_its_host() -> None:
    found = judge(odds(SURE))
    assert (found.verdict, found.resin, found.host) == (Verdict.ACCEPT, "PE-HD", "PE-HD")
    assert found.probability == 0.99
    assert codes(found) == ["resin_melts_with"]
    assert found.cautions == ()


def test_a_marked_jug_needs_no_test_since_jugs_are_never_pvc() -> None:
    assert judge(odds(SURE, seen=(Mark(text="2"),))).verdict is Verdict.ACCEPT


def test_a_marked_bottle_of_a_kind_that_can_be_pvc_needs_one_touch() -> None:
    found = judge(odds(SURE, seen=(Mark(text="2"),)), item("detergent bottle"))
    assert (found.verdict, codes(found)) == (Verdict.HOLD, ["resin_needs_touch"])
    assert judge(odds(SURE), item("detergent bottle")).verdict is Verdict.ACCEPT


@pytest.mark.parametrize("seen", [FLOATS, Cue(name="crease", value="whitens")])
def test_any_physical_observation_will_do(seen: FloatTest | Cue) -> None:
    assert judge(odds(SURE, seen=(seen,)), item("detergent bottle")).verdict is Verdict.ACCEPT


def test_a_clear_piece_that_could_be_pvc_or_pet_is_held_for_a_second_look() -> None:
    look = Reason.of("second_look_pvc", probability=0.0005)
    found = replace(odds({"PET": 0.9995, "PVC": 0.0005}), second_look=look)
    assert judge(odds({"PET": 0.9995, "PVC": 0.0005}), item("clamshell"), "PET").verdict is Verdict.ACCEPT
    held = judge(found, item("clamshell"), "PET")
    assert (held.verdict, codes(held)) == (Verdict.HOLD, ["second_look_pvc"])
    assert (
        judge(found, item("clamshell"), "PE-HD").verdict is Verdict.REFUSE
    )  # nobody here would melt it anyway


def test_resins_that_melt_together_count_together() -> None:
    found = judge(odds({"PS": 0.55, "PS-HI": 0.44, "PP": 0.01}), item("yoghurt cup"), "PS")
    assert (found.verdict, found.host) == (Verdict.ACCEPT, "PS")


def test_with_two_hosts_the_one_that_it_melts_with_is_named() -> None:
    found = judge(odds({"PP": 0.97, "PE-HD": 0.03}), item("margarine tub"), "PE-HD", "PP")
    assert (found.verdict, found.host) == (Verdict.ACCEPT, "PP")


def test_a_good_pair_with_a_share_limit_says_so() -> None:
    found = judge(odds({"PC": 0.99, "ABS": 0.01}), item("jug"), "ABS")
    assert found.verdict is Verdict.ACCEPT
    assert codes(found) == ["resin_melts_with", "resin_up_to_share"]


def test_an_empty_clean_medicine_bottle_may_pass() -> None:
    assert judge(odds(SURE), item(kind_with("medicine"))).verdict is Verdict.ACCEPT


# --- refuse ----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("resin", ["PE-HD", "PP", "PET", "PVC"])
@pytest.mark.parametrize(
    ("residue", "code"),
    [(Residue.MOTOR_OIL, "residue_motor_oil"), (Residue.HAZARDOUS, "residue_hazardous")],
)
def test_dangerous_content_is_refused_whatever_the_resin(resin: str, residue: Residue, code: str) -> None:
    found = judge(odds({resin: 1.0}), item(residue=residue))
    assert found.verdict is Verdict.REFUSE
    assert codes(found)[:2] == [code, "residue_goes_to_collection"]
    assert "unknown-content" in found.cautions


@pytest.mark.parametrize(
    ("residue", "verdict"),
    [
        (Residue.CLEAN, Verdict.ACCEPT),
        (Residue.RINSED, Verdict.ACCEPT),
        (Residue.FOOD, Verdict.REFUSE),
        (Residue.HAZARDOUS, Verdict.REFUSE),
    ],
)
def test_a_medicine_bottle_passes_only_empty_and_clean(residue: Residue, verdict: Verdict) -> None:
    assert judge(odds(SURE), item(kind_with("medicine"), residue)).verdict is verdict


def test_electrical_housings_are_never_melted() -> None:
    found = judge(odds({"ABS": 0.99, "PS-HI": 0.01}), item(kind_with("flame-retardant")), "ABS")
    assert (found.verdict, codes(found)[0]) == (Verdict.REFUSE, "kind_flame_retardant")
    assert "foam-and-casing-heat" in found.cautions


@pytest.mark.parametrize("chance", [0.4, 0.7, 0.999])
def test_most_likely_pvc_is_refused_and_must_not_be_heated(chance: float) -> None:
    found = judge(odds({"PVC": chance, "PET": (1 - chance) / 2, "PE-HD": (1 - chance) / 2}))
    assert (found.verdict, codes(found)[0]) == (Verdict.REFUSE, "resin_is_hazard")
    assert "pvc-heat" in found.cautions
    assert found.host is None


@pytest.mark.parametrize("resin", ["PET", "PP", "PS", "PS-HI", "PE-LD"])
def test_what_melts_with_no_host_is_good_plastic_for_somebody_else(resin: str) -> None:
    found = judge(odds({resin: 0.97, "PE-HD": 0.03}))
    assert found.verdict is Verdict.REFUSE
    assert codes(found) == ["resin_melts_with_none", "resin_good_elsewhere"]
    assert found.host is None


@pytest.mark.parametrize("resin", ["PMMA", "POM", "PLA", "other"])
def test_what_nobody_collects_is_not_called_good_for_somebody_else(resin: str) -> None:
    assert codes(judge(odds({resin: 0.97, "PE-HD": 0.03}))) == ["resin_melts_with_none"]


def test_an_item_that_is_surely_none_of_the_hosts_needs_no_test() -> None:
    found = judge(odds({"PP": 0.6, "PS-HI": 0.35, "PE-HD": 0.05}), item("yoghurt cup"))
    assert (found.verdict, codes(found)) == (Verdict.REFUSE, ["resin_likely_none"])


def test_pom_beside_a_pet_charge_is_a_hazard_with_its_own_caution() -> None:
    found = judge(odds({"POM": 0.95, "PET": 0.05}), item("jug"), "PET")
    assert (found.verdict, codes(found)[0]) == (Verdict.REFUSE, "resin_is_hazard")
    assert "pom-heat" in found.cautions
    assert "pvc-heat" not in found.cautions


# --- hold ------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("pvc", "verdict"),
    [(0.0, Verdict.ACCEPT), (0.001, Verdict.ACCEPT), (0.0011, Verdict.HOLD), (0.05, Verdict.HOLD)],
)
def test_pvc_above_the_limit_holds_an_item_that_is_probably_good(pvc: float, verdict: Verdict) -> None:
    found = judge(odds({"PE-HD": 1.0 - pvc, "PVC": pvc}))
    assert found.verdict is verdict
    assert ("pvc-heat" in found.cautions) == (pvc > LIMITS.pvc_probability)
    assert (codes(found)[0] == "resin_may_be_hazard") == (verdict is Verdict.HOLD)


@pytest.mark.parametrize("best", ["PE-HD", "PVC", "PET"])
def test_evidence_that_disagrees_is_held_and_never_refused(best: str) -> None:
    found = judge(odds({best: 1.0}, conflict=DISAGREE))
    assert found.verdict is Verdict.HOLD
    assert codes(found)[:2] == ["resin_conflict", DISAGREE[0].code]


@pytest.mark.parametrize(
    ("chance", "verdict"),
    [
        (0.05, Verdict.REFUSE),
        (0.30, Verdict.HOLD),
        (0.89, Verdict.HOLD),
        (0.90, Verdict.ACCEPT),
        (0.95, Verdict.ACCEPT),
    ],
)
def test_thin_odds_ask_for_one_more_test(chance: float, verdict: Verdict) -> None:
    found = judge(odds({"PE-HD": chance, "PP": 1.0 - chance}))
    assert found.verdict is verdict
    assert ("resin_needs_test" in codes(found)) == (verdict is Verdict.HOLD)


def test_cooking_oil_waits_for_a_second_wash() -> None:
    found = judge(odds(SURE), item(residue=Residue.EDIBLE_OIL))
    assert (found.verdict, codes(found)) == (Verdict.HOLD, ["residue_edible_oil"])


def test_cooking_oil_in_plastic_nobody_wants_is_not_washed_first() -> None:
    assert judge(odds({"PET": 1.0}), item(residue=Residue.EDIBLE_OIL)).verdict is Verdict.REFUSE


@pytest.mark.parametrize(
    ("colour", "held"), [("red", True), ("yellow", True), ("", True), ("natural", False), (" Clear ", False)]
)
def test_old_coloured_crates_are_held_apart(colour: str, held: bool) -> None:
    found = judge(odds(SURE), item(kind_with("old-pigments"), colour=colour))
    assert ("kind_old_pigments" in codes(found)) == held
    assert ("old-pigments" in found.cautions) == held


@pytest.mark.parametrize(("filled", "held"), [(0.1, False), (0.5, True), (0.9, True)])
def test_a_filled_piece_goes_to_a_bin_of_its_own(filled: float, held: bool) -> None:
    assert ("resin_filled" in codes(judge(odds(SURE, filled=filled)))) == held


def test_every_doubt_is_told_at_once() -> None:
    found = judge(odds({"PE-HD": 0.8, "PP": 0.15, "PVC": 0.05}, filled=0.8), item(residue=Residue.EDIBLE_OIL))
    assert codes(found) == ["resin_may_be_hazard", "resin_needs_test", "residue_edible_oil", "resin_filled"]


# --- limits, bad input, promises -------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "name", ["accept_probability", "refuse_probability", "pvc_probability", "filled_probability"]
)
@pytest.mark.parametrize("value", [-0.01, 1.01, float("nan"), float("inf")])
def test_a_limit_that_is_no_probability_is_refused(name: str, value: float) -> None:
    with pytest.raises(BadInput, match="from 0 to 1"):
        replace(LIMITS, **{name: value})


def test_a_verdict_without_a_host_is_refused() -> None:
    with pytest.raises(BadInput, match="at least one host"):
        resin_verdict(odds(SURE), item(), (), BOOK.matrix, BOOK.resins, LIMITS)


def test_an_unknown_host_is_refused() -> None:
    with pytest.raises(UnknownName, match="Host"):
        judge(odds(SURE), item(), "PE-HDX")


def test_a_stricter_campaign_holds_what_a_lenient_one_accepts() -> None:
    found = odds({"PE-HD": 0.93, "PP": 0.07})
    assert judge(found, limits=replace(LIMITS, accept_probability=0.9)).verdict is Verdict.ACCEPT
    assert judge(found, limits=replace(LIMITS, accept_probability=0.95)).verdict is Verdict.HOLD


chances = st.lists(st.floats(0, 1), min_size=len(JUDGED), max_size=len(JUDGED)).filter(lambda p: sum(p) > 0.1)


@st.composite
def posteriors(draw: st.DrawFn) -> Posterior:
    raw = draw(chances)
    named = {str(r): p / sum(raw) for r, p in zip(JUDGED, raw, strict=True)}
    return odds(
        named, seen=draw(st.sampled_from([(), (Mark(text="2"),), (FLOATS,)])), filled=draw(st.floats(0, 1))
    )


@given(
    found=posteriors(), kind=st.sampled_from(sorted(BOOK.kinds.rows)), residue=st.sampled_from(list(Residue)),
    hosts=st.lists(st.sampled_from(["PE-HD", "PP", "PS", "PET"]), min_size=1, max_size=3, unique=True),
)  # fmt: skip
def test_a_verdict_always_has_reasons_with_words_and_known_cautions(
    found: Posterior, kind: str, residue: Residue, hosts: list[str]
) -> None:
    said = judge(found, Item(kind=BOOK.kinds.rows[kind], residue=residue), *hosts)  # type: ignore[index]
    assert said.reasons
    assert set(said.cautions) <= set(NAMED_BY_RULES)
    for reason in said.reasons:
        text = WORDS.reason(reason)
        assert text != f"reason.{reason.code}"
        assert "{" not in text
    dangerous = residue in (Residue.MOTOR_OIL, Residue.HAZARDOUS)
    assert not dangerous or said.verdict is Verdict.REFUSE
    if said.verdict is Verdict.ACCEPT:
        assert said.host in hosts
        assert found.probabilities[ResinId("PVC")] <= LIMITS.pvc_probability


@given(found=posteriors())
def test_a_safer_limit_never_accepts_more(found: Posterior) -> None:
    strict, lenient = replace(LIMITS, pvc_probability=1e-4), replace(LIMITS, pvc_probability=0.2)
    if judge(found, limits=strict).verdict is Verdict.ACCEPT:
        assert judge(found, limits=lenient).verdict is Verdict.ACCEPT
