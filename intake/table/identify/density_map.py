"""Where the density of each resin lies, as shares of a fixed ladder of densities, built once.

Several float tests and a weighing of one item see the same true density. They are therefore multiplied on
this ladder first and summed over it afterwards, so that two baths never count as two independent draws.
"""

from bisect import bisect_left
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import accumulate, pairwise
from math import erf, sqrt

from intake.table.identify.cues import ByResin, Variant

LIGHTEST_G_CM3, DENSEST_G_CM3 = 0.005, 3.0
"""[g/cm3] the ladder's ends: no foam is lighter, no filled plastic denser."""

_STRETCHES = (
    (LIGHTEST_G_CM3, 0.725, 0.03),
    (0.725, 0.86, 0.009),
    (0.86, 1.1, 0.0015),
    (1.1, 1.45, 0.0025),
    (1.45, 1.7, 0.005),
)
"""[g/cm3] from, to, width of a rung: fine where resins crowd."""

_LAST_STEP = 0.02
_ROOT2 = sqrt(2.0)
_HEAVIER = ("filled",)


def below(z: float) -> float:
    """[-] Standard normal probability below `z`."""
    return 0.5 + 0.5 * erf(z / _ROOT2)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class DensityMap:
    """The ladder and what stands on it.

    Attributes:
        edges: [g/cm3] ends of the rungs, rising; one more than there are rungs.
        middles: [g/cm3] middles of the rungs.
        shares: [-] by judged resin, by rung; each row sums to 1.
        sums: running sums of `shares`, starting with 0.
        filled: [-] the part of `shares` that is filled.
        filled_sums: running sums of `filled`.
        filled_share: [-] by judged resin.
    """

    edges: tuple[float, ...]
    middles: tuple[float, ...]
    shares: tuple[tuple[float, ...], ...]
    sums: tuple[tuple[float, ...], ...]
    filled: tuple[tuple[float, ...], ...]
    filled_sums: tuple[tuple[float, ...], ...]
    filled_share: ByResin

    def rungs(self, low_g_cm3: float, high_g_cm3: float) -> tuple[int, int]:
        """First rung and one past the last that overlap low..high [g/cm3]."""
        start = bisect_left(self.edges, low_g_cm3) - 1
        stop = bisect_left(self.edges, high_g_cm3)
        return max(start, 0), min(max(stop, 1), len(self.middles))


def density_map(variants: Sequence[Sequence[Variant]]) -> DensityMap:
    """The map of all judged resins; `variants` in table order."""
    edges = tuple(_edges())
    shares = tuple(_on_ladder(v, edges) for v in variants)
    filled = tuple(_on_ladder([w for w in v if w.name in _HEAVIER], edges) for v in variants)
    return DensityMap(
        edges=edges,
        middles=tuple((a + b) / 2 for a, b in pairwise(edges)),
        shares=shares,
        sums=tuple(tuple(accumulate(s, initial=0.0)) for s in shares),
        filled=filled,
        filled_sums=tuple(tuple(accumulate(s, initial=0.0)) for s in filled),
        filled_share=tuple(sum(s) for s in filled),
    )


def _edges() -> Iterable[float]:
    for start, stop, step in _STRETCHES:
        for k in range(round((stop - start) / step)):
            yield start + k * step
    last = _STRETCHES[-1][1]
    for k in range(round((DENSEST_G_CM3 - last) / _LAST_STEP) + 1):
        yield last + k * _LAST_STEP


def _on_ladder(variants: Iterable[Variant], edges: tuple[float, ...]) -> tuple[float, ...]:
    """[-] Share of the items on each rung; what lies beyond the ends is put on the end rungs."""
    total = [0.0] * (len(edges) - 1)
    for v in variants:
        under = [below((e - v.mean_g_cm3) / v.sd_g_cm3) for e in edges]
        under[0], under[-1] = 0.0, 1.0
        for k in range(len(total)):
            total[k] += v.share * (under[k + 1] - under[k])
    return tuple(total)
