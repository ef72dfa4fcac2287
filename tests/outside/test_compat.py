"""Compatibility, windows and chi against what others published; the source stands in every test id."""

import math

import numpy as np
import pytest
from scipy import constants  # type: ignore[import-untyped]
from scipy.optimize import minimize_scalar  # type: ignore[import-untyped]

from intake.handbook import Handbook
from intake.table.compat.miscibility import (
    GAS_CONSTANT_J_MOL_K,
    chi_critical,
    chi_from_solubility,
    second_opinion,
)
from intake.table.compat.rules import Rating
from intake.table.resins import ResinId
from intake.units import parse_temperature_c

PUBLISHED = (
    ("PE-HD", "PP", "copolymer_bottles", 0.2, "PP-IN-HDPE-APR"),
    ("PE-HD", "PP", "long_life_pipe", 0.05, "PP-IN-HDPE-APR"),
    ("PE-HD", "PP", "impact_tests_held", 0.25, "PP-IN-HDPE-APR"),
    ("PE-HD", "PP", "injection_bale", 0.05, "ISRI-2018"),
    ("PE-HD", "PP", "natural_bottle_bale", 0.02, "ISRI-2018"),
    ("PE-HD", "PP", "stress_crack_life", None, "ESCR-2024"),
    ("PE-HD", "PS", "other_plastics_together", 0.04, "ISRI-2018"),
    ("PE-HD", "PA", "heavy_parts_sink", None, "APR-HDPE"),
    ("PE-HD", "POM", "heavy_parts_sink", None, "APR-HDPE"),
    ("PE-HD", "EVAC", "floating_copolymers_preferred", None, "APR-HDPE"),
    ("PE-LD", "PP", "film_guide_limited", None, "PRE-FLEX"),
    ("PE-LD", "PS", "film_guide_low", None, "PRE-FLEX"),
    ("PE-LD", "PET", "film_guide_low", None, "PRE-FLEX"),
    ("PE-LD", "PVC", "film_guide_low", 0, "PRE-FLEX"),
    ("PE-LD", "PA", "soft_polyamide_with_tie", 0.15, "PRE-FLEX"),
    ("PE-LD", "PA", "film_guide_low", None, "PRE-FLEX"),
    ("PE-LD", "PLA", "film_guide_low", None, "PRE-FLEX"),
    ("PE-LLD", "PP", "film_guide_limited", None, "PRE-FLEX"),
    ("PE-LLD", "PS", "film_guide_low", None, "PRE-FLEX"),
    ("PE-LLD", "PET", "film_guide_low", None, "PRE-FLEX"),
    ("PE-LLD", "PVC", "film_guide_low", 0, "PRE-FLEX"),
    ("PE-LLD", "PA", "soft_polyamide_with_tie", 0.15, "PRE-FLEX"),
    ("PE-LLD", "PA", "film_guide_low", None, "PRE-FLEX"),
    ("PE-LLD", "PLA", "film_guide_low", None, "PRE-FLEX"),
    ("PP", "PE-HD", "labels_fine_dispensers_not", None, "APR-PP"),
    ("PP", "PE-LD", "labels_small_effect", None, "APR-PP"),
    ("PP", "PLA", "properties_suffer", 0.05, "BIO-PP-2018"),
    ("PS-HI", "ABS", "no_worse_than_recycling", None, "ABS-HIPS-2002"),
    ("PS-HI", "ABS", "droplets_decide", None, "ABS-HIPS-BR"),
    ("PS-HI", "ABS", "san_as_help", 0.02, "ABS-HIPS-SAN"),
    ("PET", "PE-HD", "closures_float_off", None, "APR-PET"),
    ("PET", "PE-LD", "closures_float_off", None, "APR-PET"),
    ("PET", "PE-LLD", "closures_float_off", None, "APR-PET"),
    ("PET", "PP", "closures_float_off", None, "APR-PET"),
    ("PET", "PS", "bottle_guide_low", None, "EPBP"),
    ("PET", "PS-HI", "bottle_guide_low", None, "EPBP"),
    ("PET", "PVC", "harm_seen", 5e-05, "PVC-PET-50"),
    ("PET", "PVC", "flake_trade_limit", 0.0002, "PVC-PET-200"),
    ("PET", "PVC", "pack_lost", 0, "APR-PET"),
    ("PET", "PC", "bottle_guide_low", None, "EPBP"),
    ("PET", "PA", "barrier_polyamide_full", 0.06, "EPBP"),
    ("PET", "PA", "barrier_polyamide_limited", 0.05, "EPBP"),
    ("PET", "PBT", "bottle_guide_low", None, "EPBP"),
    ("PET", "PLA", "opaque_pellets", 0.01, "PLA-PET-2008"),
    ("PET", "PLA", "makers_claim", 0.001, "PLA-PET-2008"),
    ("PET", "PLA", "bottle_guide_low", None, "EPBP"),
    ("PET", "EVAC", "liners_accepted", None, "APR-PET"),
    ("PVC", "PET", "harm_by_the_million", 1e-06, "APR-PVC"),
    ("ABS", "PS-HI", "no_worse_than_recycling", None, "ABS-HIPS-2002"),
    ("ABS", "PS-HI", "droplets_decide", None, "ABS-HIPS-BR"),
    ("ABS", "PS-HI", "san_as_help", 0.02, "ABS-HIPS-SAN"),
    ("ABS", "PC", "reprocessed_together", None, "PCABS-2024"),
    ("PC", "ABS", "reprocessed_together", None, "PCABS-2024"),
    ("PE-LD", "EVOH", "film_minor_effect", 0.05, "EVOH-2020"),
    ("PE-LD", "EVOH", "public_purchasing", 0.02, "SE-PROC"),
    ("PE-LLD", "EVOH", "film_minor_effect", 0.05, "EVOH-2020"),
    ("PE-LLD", "EVOH", "public_purchasing", 0.02, "SE-PROC"),
    ("PET", "EVOH", "multilayer", 0.03, "EPBP"),
    ("PET", "PETG", "not_under_code_1", 0, "US-CA-AB906"),
    ("PET", "PETG", "bottle_guide_low", 0, "EPBP"),
    ("PE-HD", "starch", "small_amounts_harm", None, "TPS-HDPE-2024"),
    ("PP", "starch", "properties_suffer", 0.05, "BIO-PP-2018"),
    ("PE-HD", "silicone", "needs_a_test", None, "APR-HDPE"),
    ("PE-HD", "silicone", "suspected_cracks", None, "PP-IN-HDPE-APR"),
    ("POM", "flame-retardant", "kept_out", 0, "POM-PVC"),
    ("PE-LD", "PE-X", "filler_in_virgin", 0.6, "PEX-2018"),
)
"""(host, guest, what was said, share [-] where one was printed, source): typed from the works as they were read."""

_LOW = frozenset({Rating.POOR, Rating.HAZARD})
_SMALL = frozenset({Rating.LIMITED, Rating.POOR, Rating.HAZARD})
_SOME = frozenset({Rating.SAME, Rating.GOOD, Rating.LIMITED})
_ANY = frozenset(Rating)
MEANING = {
    "film_guide_low": _LOW, "bottle_guide_low": _LOW, "pack_lost": _LOW, "kept_out": _LOW, "harm_seen": _LOW,
    "harm_by_the_million": _LOW, "not_under_code_1": _LOW, "opaque_pellets": _LOW, "small_amounts_harm": _LOW,
    "suspected_cracks": _LOW, "heavy_parts_sink": _LOW, "flake_trade_limit": _LOW, "needs_a_test": _LOW,
    "film_guide_limited": _SMALL, "stress_crack_life": _SMALL, "labels_fine_dispensers_not": _SMALL,
    "droplets_decide": _SMALL, "properties_suffer": _SMALL, "other_plastics_together": _SMALL,
    "copolymer_bottles": _SOME, "long_life_pipe": _SOME, "floating_copolymers_preferred": _SOME,
    "no_worse_than_recycling": _SOME, "reprocessed_together": _SOME, "labels_small_effect": _SOME,
    "public_purchasing": _SOME, "film_minor_effect": _SOME,
}  # fmt: skip
"""What a statement leaves open; those not named bound a share only."""
NO_CEILING = frozenset({"san_as_help", "makers_claim", "filler_in_virgin"})
"""Figures that bound nothing here: another additive, a disputed claim, a powder in virgin resin."""
EXPLAINED = frozenset({("PE-HD", "PP", "natural_bottle_bale")})
"""Limits that we pass, with a why in the row."""

_BY_SOURCE = [pytest.param(*row, id=f"{row[4]}: {row[1]} in {row[0]}, {row[2]}") for row in PUBLISHED]
_WITH_SHARE = [
    pytest.param(*row, id=f"{row[4]}: {row[1]} in {row[0]}, {row[2]}")
    for row in PUBLISHED
    if row[3] is not None and row[2] not in NO_CEILING
]


@pytest.mark.parametrize(("host", "guest", "fact", "share", "source"), _BY_SOURCE)
def test_a_published_statement_stands_in_the_table_and_the_rating_agrees(
    handbook: Handbook, host: str, guest: str, fact: str, share: float | None, source: str
) -> None:
    rule = handbook.matrix.rule(ResinId(host), ResinId(guest))
    assert [p.value for p in rule.published if (p.fact, p.source) == (fact, source)] == [share]
    assert rule.rating in MEANING.get(fact, _ANY)


@pytest.mark.parametrize(("host", "guest", "fact", "share", "source"), _WITH_SHARE)
def test_our_tolerated_share_stays_within_a_published_one(
    handbook: Handbook, host: str, guest: str, fact: str, share: float, source: str
) -> None:
    rule = handbook.matrix.rule(ResinId(host), ResinId(guest))
    if (host, guest, fact) in EXPLAINED:
        assert rule.tolerated_share > share
        assert "natural bottle" in rule.why
    else:
        assert rule.tolerated_share <= share


def test_the_table_holds_no_published_statement_beside_these(handbook: Handbook) -> None:
    told = {(r.host, r.guest, p.fact) for r in handbook.matrix.pairs.values() for p in r.published}
    assert told - {row[:3] for row in PUBLISHED} == {("PE-HD", "PE-LD", "soft_closures_preferred")}


@pytest.mark.parametrize(("host", "guest"), [("POM", "PVC"), ("PVC", "POM")])
def test_acetal_and_pvc_never_meet_in_the_heat(handbook: Handbook, host: str, guest: str) -> None:
    # POM-PVC, POM-PVC-2: PVC speeds the breakdown of acetal, formaldehyde and hydrogen chloride come off violently
    rule = handbook.matrix.rule(ResinId(host), ResinId(guest))
    assert (rule.rating, rule.tolerated_share) == (Rating.HAZARD, 0.0)
    assert set(rule.sources) == {"POM-PVC", "POM-PVC-2"}
    assert {"formaldehyde", "hydrogen-chloride"} <= set(rule.hazards)


def test_soft_closures_are_tolerated_on_a_pack_of_pe_hd(handbook: Handbook) -> None:
    # APR-HDPE lists PE-LD closures as preferred on PE-HD packs
    assert handbook.matrix.rule(ResinId("PE-HD"), ResinId("PE-LD")).rating in _SOME


@pytest.mark.parametrize(
    ("form_host", "form_guest", "highest"),
    [
        pytest.param(
            "blow", "injection", 0.02, id="ISRI-2018: other rigid PE-HD in natural bottle bales, 2 %"
        ),
        pytest.param("injection", "blow", 0.0, id="ISRI-2018: injection bales shut out blown items"),
        pytest.param("blow", "cross-linked", 0.0, id="XHDPE-THESIS: cross-linked PE does not remelt"),
    ],
)
def test_forms_of_pe_hd_keep_within_the_published_shares(
    handbook: Handbook, form_host: str, form_guest: str, highest: float
) -> None:
    pe = ResinId("PE-HD")
    rule = handbook.matrix.rule(pe, pe, host_form=form_host, guest_form=form_guest)  # type: ignore[arg-type]
    assert rule.tolerated_share <= highest
    assert rule.rating not in (Rating.SAME, Rating.GOOD)


# --- chi -------------------------------------------------------------------------------------------------------

CAL_TO_MPA = math.sqrt(constants.calorie_th)  # (cal/cm3)^0.5 in MPa^0.5


@pytest.mark.parametrize(
    ("cal", "mpa05"),
    [
        pytest.param(7.9, 16.16, id="S37 PE"),
        pytest.param(9.1, 18.61, id="S37 PS"),
        pytest.param(9.7, 19.84, id="S37 PVC"),
        pytest.param(10.7, 21.89, id="S37 PET"),
        pytest.param(13.6, 27.82, id="S37 PA66"),
    ],
)
def test_solubility_parameters_convert_as_printed(cal: float, mpa05: float) -> None:
    assert cal * CAL_TO_MPA == pytest.approx(mpa05, abs=0.01)


@pytest.mark.parametrize(
    ("resin", "cal"),
    [
        pytest.param("PE-HD", 7.9, id="S37 PE"),
        pytest.param("PS", 9.1, id="S37 PS"),
        pytest.param("PVC", 9.7, id="S37 PVC"),
        pytest.param("PET", 10.7, id="S37 PET"),
        pytest.param("PA66", 13.6, id="S37 PA66"),
    ],
)
def test_the_table_holds_the_printed_solubility_parameters(
    handbook: Handbook, resin: str, cal: float
) -> None:
    figure = handbook.melts.row(ResinId(resin)).solubility_mpa05
    assert figure is not None
    assert figure.typical == pytest.approx(cal * CAL_TO_MPA, abs=0.05)


@pytest.mark.parametrize(
    ("d1", "d2", "temp_c", "volume", "chi"),
    [
        pytest.param(16.16, 18.61, 190.0, 100.0, 0.156, id="S37: PE-PS, recomputed"),
        pytest.param(16.16, 21.89, 270.0, 100.0, 0.727, id="S37: PE-PET, recomputed"),
        pytest.param(16.16, 16.80, 200.0, 100.0, 0.0104, id="S37 and M01: PE-PP, recomputed"),
        pytest.param(0.0, 0.4, 24.85, 90.0, 0.0058, id="S65: printed default output, volume inferred"),
        pytest.param(
            19.0, 47.8, 26.85, (100 / 1.180 + 18 / 1.0) / 2, 17.08, id="S66: PMMA-water, worked example"
        ),
        pytest.param(
            19.0, 29.7, 26.85, (100 / 1.180 + 32 / 0.792) / 2, 2.87,
            id="S66: PMMA-methanol, worked example",
        ),
    ],
)  # fmt: skip
def test_chi_meets_worked_examples(d1: float, d2: float, temp_c: float, volume: float, chi: float) -> None:
    assert chi_from_solubility(d1, d2, temp_c, volume) == pytest.approx(chi, rel=0.005)


def test_the_gas_constant_is_that_of_codata() -> None:
    # library: scipy.constants
    assert pytest.approx(constants.R, rel=1e-9) == GAS_CONSTANT_J_MOL_K


@pytest.mark.parametrize(
    ("n1", "n2", "critical"),
    [
        pytest.param(1000, 1000, 0.002, id="M01: 2/N for two equal chains"),
        pytest.param(1, 1, 2.0, id="textbook, from memory: two small molecules part above 2"),
        pytest.param(1, 1e12, 0.5, id="textbook, from memory: an endless chain in a solvent parts above 0.5"),
    ],
)
def test_critical_chi_meets_the_textbook(n1: float, n2: float, critical: float) -> None:
    assert chi_critical(n1, n2) == pytest.approx(critical, rel=1e-5)


@pytest.mark.parametrize(("n1", "n2"), [(1, 1), (10, 10), (1, 100), (50, 200), (1000, 1000), (300, 5000)])
def test_critical_chi_is_the_lowest_point_of_the_spinodal(n1: float, n2: float) -> None:
    # by definition, independent of the closed form: where the second derivative of the free energy of mixing,
    # phi ln(phi)/N1 + (1-phi) ln(1-phi)/N2 + chi phi(1-phi), is zero
    def spinodal(phi: float) -> float:
        return 0.5 * (1.0 / (n1 * phi) + 1.0 / (n2 * (1.0 - phi)))

    lowest = minimize_scalar(spinodal, bounds=(1e-6, 1 - 1e-6), method="bounded", options={"xatol": 1e-10})
    assert chi_critical(n1, n2) == pytest.approx(lowest.fun, rel=1e-6)
    assert np.all(np.array([spinodal(p) for p in (0.01, 0.3, 0.7, 0.99)]) >= lowest.fun)


@pytest.mark.parametrize(
    ("host", "guest"),
    [
        pytest.param("PE-HD", "PS", id="textbook, from memory: PE and PS part"),
        pytest.param("PE-HD", "PP", id="textbook, from memory: PE and PP part though close"),
        pytest.param("PE-HD", "PET", id="textbook, from memory: PE and PET part"),
        pytest.param("PP", "PA", id="textbook, from memory: PP and PA part"),
    ],
)
def test_pairs_known_to_part_are_computed_to_part(handbook: Handbook, host: str, guest: str) -> None:
    h, g = ResinId(host), ResinId(guest)
    opinion = second_opinion(h, g, handbook.melts, handbook.matrix.rule(h, g))
    assert opinion.chi is not None
    assert opinion.chi_critical is not None
    assert opinion.chi > opinion.chi_critical


# --- windows ---------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("temperature", "code"),
    [
        pytest.param("350°F", "heat_in_window", id="common practice, no source: PE-HD is pressed at 350 °F"),
        pytest.param(
            "250°F", "heat_softens_only", id="common practice, no source: 250 °F softens PE-HD only"
        ),
        pytest.param("180°C", "heat_in_window", id="M13, from memory: PE plaques are pressed at 180 °C"),
        pytest.param("20°C", "heat_solid", id="everyday: PE-HD is solid in a room"),
        pytest.param("230°C", "heat_too_hot", id="a moulding-machine heat is no oven heat"),
    ],
)
def test_pe_hd_does_at_a_temperature_what_the_trade_knows(
    handbook: Handbook, temperature: str, code: str
) -> None:
    temp_c = parse_temperature_c(temperature, where="test")
    assert handbook.melts.state_at(ResinId("PE-HD"), temp_c).code == code


@pytest.mark.parametrize(
    ("host", "guest"),
    [
        pytest.param("PE-HD", "PET", id="S45, S63: PET melts at 245 to 265 °C, far above PE"),
        pytest.param("PE-HD", "PA66", id="M04, from memory: PA66 melts at 255 to 265 °C"),
        pytest.param("POM", "PC", id="POM must stay under 210 °C (POM-PVC)"),
    ],
)
def test_resins_whose_heats_lie_apart_share_no_window(handbook: Handbook, host: str, guest: str) -> None:
    mixture = handbook.melts.mixture_window([ResinId(host), ResinId(guest)])
    assert mixture.window is None
    assert mixture.reason is not None
    assert {host, guest} <= {v for _, v in mixture.reason.values}


@pytest.mark.parametrize("resin", ["PVC", "PVC-U", "PVC-P"])
def test_pvc_is_given_no_window(handbook: Handbook, resin: str) -> None:
    # PVC-DEG and common practice: no safe heat without fresh stabiliser and extraction
    assert handbook.melts.oven_window(ResinId(resin)) is None


def test_pom_stays_within_the_heat_that_was_read(handbook: Handbook) -> None:
    # POM-PVC: worked at 190-210 °C, never 250 °C
    window = handbook.melts.oven_window(ResinId("POM"))
    assert window is not None
    assert window.high_c <= 210.0
