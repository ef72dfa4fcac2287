"""Finished parts, weighed and measured, correct what is taken for shrinkage and solid density of the next one.

Shrinkage S and density d are jointly normal around the handbook's figures. A part tells its mass,
cavity (1 - S)³ d, to within the scale and to within voids and short filling; a side of it tells 1 - S to within
the ruler. One Kalman step for each, written pathwise as in `yields.learn`: x' = x + Cov(x, y) / V (z + e - y).
Beyond 2 sd of surprise more surprise moves nothing further, beyond 4 sd nothing is learned and it is asked about.
Source: Kalman, A New Approach to Linear Filtering and Prediction Problems, 1960; Huber, Robust Estimation of a
Location Parameter, 1964 (both from memory).
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import isfinite, sqrt

from intake.errors import BadInput
from intake.spread import Spread, doubtful, mean_of, sd_of
from intake.table.resins import Figure, Reason

QUESTIONED = 4.0
"""[-] sd of surprise beyond which a part is asked about, and never learned from."""
CLIPPED = 2.0
"""[-] sd of surprise beyond which more surprise moves nothing further."""
_LONGEST_MM = 100_000.0


@dataclass(frozen=True, slots=True, kw_only=True)
class PartDoubt:
    """How far one part differs from what its mould and resin would give.

    Attributes:
        voids: [-] standard deviation of its mass from voids and short filling, relative.
        ruler_mm: [mm] standard deviation of measuring one side.
    """

    voids: Figure
    ruler_mm: Figure


@dataclass(frozen=True, slots=True, kw_only=True)
class MeasuredPart:
    """A cold part, trimmed; pressed while it cooled.

    Attributes:
        cavity_cm3: [cm3] of its mould, > 0.
        mass_g: [g] of the part; None: not weighed.
        side_mm: [mm] one side of the part; None: not measured.
        mould_mm: [mm] the same side of its mould; None: not measured.
    """

    cavity_cm3: float
    mass_g: float | None = None
    side_mm: float | None = None
    mould_mm: float | None = None

    def __post_init__(self) -> None:
        if (self.side_mm is None) != (self.mould_mm is None):
            expected = "the same side of part and mould, both or neither"
            raise BadInput(where="Part, side", got=self.side_mm or self.mould_mm, expected=expected)
        for name in ("mass_g", "side_mm", "mould_mm"):
            value = getattr(self, name)
            if value is not None and not (isfinite(value) and value > 0.0):
                raise BadInput(where=f"Part, {name}", got=value, expected="a number above 0")
        if self.mould_mm is not None and not self.mould_mm <= _LONGEST_MM:
            raise BadInput(where="Part, side", got=f"{self.mould_mm:g} mm", expected="a side up to 100 m")


@dataclass(frozen=True, slots=True, kw_only=True)
class Moulding:
    """What is taken for the next part: linear shrinkage [-], solid density [g/cm3], and what to know of it."""

    shrinkage: Spread
    solid_g_cm3: Spread
    reasons: tuple[Reason, ...] = ()


def part_mass_g(cavity_cm3: float, shrinkage: Spread, solid_g_cm3: Spread) -> Spread:
    """[g] Mass of the cold part: cavity [cm3] × (1 − S)³ × solid density [g/cm3]; S [-] linear, 0..1."""
    return cavity_cm3 * (1.0 - shrinkage) ** 3 * solid_g_cm3


def after_parts(start: Moulding, parts: Sequence[MeasuredPart], doubt: PartDoubt) -> Moulding:
    """What is taken for the next part after these, oldest first; the same parts always teach the same."""
    for number, part in enumerate(parts, 1):
        if part.side_mm is not None and part.mould_mm is not None:
            told = 1.0 - part.side_mm / part.mould_mm
            ruler = sqrt(2.0) * doubt.ruler_mm.typical / part.mould_mm
            start = _after(start, start.shrinkage, told, ruler, number)
        if part.mass_g is not None:
            expected_g = part_mass_g(part.cavity_cm3, start.shrinkage, start.solid_g_cm3)
            start = _after(start, expected_g, part.mass_g, doubt.voids.typical * part.mass_g, number)
    return start


def _after(start: Moulding, expected: Spread, told: float, noise_sd: float, number: int) -> Moulding:
    """One Kalman step: `expected` was told as `told`, to within `noise_sd`; all three in one unit."""
    variance = sd_of(expected) ** 2 + noise_sd**2
    sigmas = (told - mean_of(expected)) / sqrt(variance)
    if abs(sigmas) > QUESTIONED:
        asked = Reason.of(
            "part_far_off", part=number, told=round(told, 4), expected=round(mean_of(expected), 4)
        )
        return replace(start, reasons=(*start.reasons, asked))
    weight = min(1.0, CLIPPED / abs(sigmas)) if sigmas else 1.0
    pull = doubtful(told, noise_sd, "measured part") - expected

    def moved(guess: Spread) -> Spread:
        return guess + weight * _covariance(guess, expected) / variance * pull

    return replace(start, shrinkage=moved(start.shrinkage), solid_g_cm3=moved(start.solid_g_cm3))


def _covariance(first: Spread, second: Spread) -> float:
    """Covariance of two spreads; 0 where one has no doubt."""
    if not (hasattr(first, "derivatives") and hasattr(second, "derivatives")):
        return 0.0
    mine = dict(first.derivatives)
    return float(sum(d * mine.get(v, 0.0) * v.std_dev**2 for v, d in second.derivatives.items()))
