"""An uncertain amount: a thin face over `uncertainties`, which keeps correlations.

Twenty jugs whose mass is guessed from one table entry share that guess: the sum is twenty times as
doubtful, not the square root of twenty. Use one variable for one shared guess and the library does the rest.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from math import erf, sqrt
from typing import Any, TypeAlias

from uncertainties import ufloat
from uncertainties.core import AffineScalarFunc, LinearCombination

Spread: TypeAlias = Any
"""A number with its doubt (`uncertainties.core.AffineScalarFunc`), or a plain float that has none."""

Z90 = 1.6448536269514722
"""95th percentile of the standard normal: low and high stand this many standard deviations from the mean."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Interval:
    """Mean with the 5th and the 95th percentile, in the unit of what was asked."""

    mean: float
    low: float
    high: float


def certain(value: float) -> Spread:
    """An amount without doubt, as a spread."""
    return AffineScalarFunc(value, LinearCombination({}))


def doubtful(mean: float, sd: float, tag: str | None = None) -> Spread:
    """A new independent variable; `tag` names the guess it stands for."""
    return ufloat(mean, sd, tag) if sd > 0 else certain(mean)


def of_three(low: float, typical: float, high: float, tag: str | None = None) -> Spread:
    """A spread from a handbook's low, typical and high, read as the 10th, 50th and 90th percentile.

    Source: Swanson's 30-40-30 rule for mean and variance of a skewed range (from memory: Hurst, Brown and
    Swanson, AAPG Bulletin 84, 2000).
    """
    mean = 0.3 * low + 0.4 * typical + 0.3 * high
    variance = 0.3 * (low - mean) ** 2 + 0.4 * (typical - mean) ** 2 + 0.3 * (high - mean) ** 2
    return doubtful(mean, sqrt(variance), tag)


def mean_of(amount: Spread) -> float:
    """The mean, also of a plain float."""
    return float(amount.nominal_value if hasattr(amount, "nominal_value") else amount)


def sd_of(amount: Spread) -> float:
    """The standard deviation; 0 for a plain float."""
    return float(amount.std_dev if hasattr(amount, "std_dev") else 0.0)


def total(amounts: Iterable[Spread]) -> Spread:
    """The sum with all correlations kept; ask for its doubt once, at the end, never inside a running sum."""
    return sum(amounts, 0.0)


def interval(amount: Spread, *, floor: float = 0.0) -> Interval:
    """Mean, 5 % and 95 % of a normal amount; the low end is cut at `floor`: no mass is below nothing."""
    mean, half = mean_of(amount), Z90 * sd_of(amount)
    return Interval(mean=mean, low=max(mean - half, min(floor, mean)), high=mean + half)


def chance_at_least(amount: Spread, wanted: Spread) -> float:
    """Probability that `amount` reaches `wanted`, both normal and with their correlation kept."""
    gap = amount - wanted
    sd = sd_of(gap)
    if sd == 0.0:
        return 1.0 if mean_of(gap) >= 0.0 else 0.0
    return 0.5 * (1.0 + erf(mean_of(gap) / sd / sqrt(2.0)))
