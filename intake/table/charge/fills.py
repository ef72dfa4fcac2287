"""Filling plan: shred is mostly air, so a mould is topped up as each fill melts down.

Fill k adds bulk density × the headspace that is left. With q = bulk density / melt density the melt stands at
1 - (1 - q)^k of the cavity after k fills: they converge, the last ones bring little.
"""

from dataclasses import dataclass
from math import ceil, log

from intake.table.resins import Figure

LEVEL_SHARE = 0.95
"""[-] of the cavity full of melt at which topping up ends and collar and press begin."""
MANY_FILLS = 8
"""Above this many fills, finer granulate or slabs melted beforehand save an afternoon."""
_NEVER = 999


@dataclass(frozen=True, slots=True, kw_only=True)
class Fills:
    """How many fills to 95 % of the cavity, with the range of the bulk density, and what each adds.

    Attributes:
        mean: fills at the typical bulk density.
        low: fills of dense shred.
        high: fills of fluffy shred.
        masses_g: [g] what each of the `mean` fills adds.
    """

    mean: int
    low: int
    high: int
    masses_g: tuple[float, ...]


def fills_to_level(bulk_g_cm3: float, melt_g_cm3: float, share: float = LEVEL_SHARE) -> int:
    """How many fills until melt stands at `share` (0..1) of the cavity; 1 where shred is as dense as melt."""
    q = bulk_g_cm3 / melt_g_cm3
    if q >= share:
        return 1
    if q <= 0.0:
        return _NEVER
    return min(ceil(log(1.0 - share) / log(1.0 - q) - 1e-9), _NEVER)


def fill_plan(cavity_cm3: float, bulk: Figure, melt_g_cm3: float) -> Fills:
    """The fills of a cavity [cm3] with shred of that bulk density [g/cm3] and melt density [g/cm3]."""
    count = fills_to_level(bulk.typical, melt_g_cm3)
    q = min(bulk.typical / melt_g_cm3, 1.0)
    masses_g = tuple(cavity_cm3 * melt_g_cm3 * q * (1.0 - q) ** k for k in range(count))
    return Fills(
        mean=count,
        low=fills_to_level(bulk.high, melt_g_cm3),
        high=fills_to_level(bulk.low, melt_g_cm3),
        masses_g=masses_g,
    )
