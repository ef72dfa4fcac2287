"""A computed second opinion on two resins: Flory–Huggins chi from solubility parameters, and their windows.

It ranks, it does not decide: solubility parameters know nothing of special attractions (PVC with PMMA comes
out apart though the pair can mix). The rule table wins; where the two disagree, that is shown.
"""

from dataclasses import dataclass
from math import sqrt

from intake.table.compat.rules import PairRule
from intake.table.compat.windows import MeltTable, Mixture
from intake.table.resins import Reason, ResinId

GAS_CONSTANT_J_MOL_K = 8.314462618
"""[J/(mol K)] molar gas constant, exact since the SI of 2019 (CODATA 2018)."""
ZERO_C_K = 273.15


@dataclass(frozen=True, slots=True, kw_only=True)
class SecondOpinion:
    """What the computation says; None where a figure it needs is missing.

    Attributes:
        chi: [-] interaction parameter per reference unit, >= 0.
        chi_critical: [-] above it two long chains part.
        temp_c: [degC] at which it was computed.
        mixture: the common window of the two.
        mixes: True below the critical value and with a common window.
        reasons: computed, labelled as such, and whether the table disagrees.
    """

    chi: float | None
    chi_critical: float | None
    temp_c: float | None
    mixture: Mixture
    mixes: bool | None
    reasons: tuple[Reason, ...]


def chi_from_solubility(
    delta1_mpa05: float, delta2_mpa05: float, temp_c: float, volume_cm3_mol: float
) -> float:
    """Flory–Huggins interaction parameter of a pair, per reference unit.

    Args:
        delta1_mpa05: [MPa**0.5] solubility parameter of the one.
        delta2_mpa05: [MPa**0.5] of the other.
        temp_c: [degC] temperature, above absolute zero.
        volume_cm3_mol: [cm3/mol] reference volume, > 0.

    Returns:
        [-] chi = V (d1 - d2)^2 / (R T), >= 0; MPa times cm3 is J.

    Source: Hildebrand and Scott's regular solutions, as printed in S65 and S66 of `sources.toml`.
    """
    return volume_cm3_mol * (delta1_mpa05 - delta2_mpa05) ** 2 / (GAS_CONSTANT_J_MOL_K * (temp_c + ZERO_C_K))


def chi_critical(units1: float, units2: float) -> float:
    """Interaction parameter above which two kinds of chain part at some composition.

    Args:
        units1: [-] reference units in a chain of the one, >= 1.
        units2: [-] of the other, >= 1.

    Returns:
        [-] 0.5 (N1^-0.5 + N2^-0.5)^2: 2 for two small molecules, 2/N for two chains of N units.

    Source: critical point of the Flory–Huggins free energy (textbook; M01, POLYSCI, from memory).
    """
    return 0.5 * (1.0 / sqrt(units1) + 1.0 / sqrt(units2)) ** 2


def second_opinion(host: ResinId, guest: ResinId, melts: MeltTable, rule: PairRule) -> SecondOpinion:
    """The computed opinion on a pair beside the table's `rule`, with every disagreement as a reason."""
    mixture = melts.mixture_window((host, guest))
    d1, d2 = melts.row(host).solubility_mpa05, melts.row(guest).solubility_mpa05
    temp_c = _common_temp_c(host, guest, melts, mixture)
    if d1 is None or d2 is None or temp_c is None:
        reasons = (Reason.of("chi_unknown", host=host, guest=guest), *_window_reason(mixture))
        return SecondOpinion(
            chi=None, chi_critical=None, temp_c=temp_c, mixture=mixture, mixes=None, reasons=reasons
        )
    chi = chi_from_solubility(d1.typical, d2.typical, temp_c, melts.reference_volume_cm3_mol.typical)
    critical = chi_critical(melts.chain_units.typical, melts.chain_units.typical)
    mixes = chi <= critical and mixture.window is not None
    said = Reason.of(
        "chi_mixes" if chi <= critical else "chi_parts",
        host=host, guest=guest, chi=f"{chi:.3g}", critical=f"{critical:.3g}", temp_c=temp_c,
    )  # fmt: skip
    return SecondOpinion(
        chi=chi, chi_critical=critical, temp_c=temp_c, mixture=mixture, mixes=mixes,
        reasons=(said, *_window_reason(mixture), *_disagreement(rule, mixes=mixes)),
    )  # fmt: skip


def _window_reason(mixture: Mixture) -> tuple[Reason, ...]:
    return (mixture.reason,) if mixture.reason else ()


def _disagreement(rule: PairRule, *, mixes: bool) -> tuple[Reason, ...]:
    """Whether the computation says another thing than a row of the table; of two forms it knows nothing."""
    if rule.silent or rule.host == rule.guest or mixes == rule.rating.melts_together:
        return ()
    return (Reason.of("chi_disagrees", rating=rule.rating.value),)


def _common_temp_c(host: ResinId, guest: ResinId, melts: MeltTable, mixture: Mixture) -> float | None:
    """[degC] Middle of the common window, else the lower limit of the hotter resin: there both are liquid."""
    if mixture.window is not None:
        return 0.5 * (mixture.window.low_c + mixture.window.high_c)
    lows = [w.low_c for w in (melts.oven_window(host), melts.oven_window(guest)) if w is not None]
    return max(lows, default=None)
