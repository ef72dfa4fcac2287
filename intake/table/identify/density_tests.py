"""P(what the baths and the scale said | resin), over the density that all of them saw."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise
from math import erf, exp, log, pi, sqrt
from operator import mul

from intake.table.identify.cues import ByResin, CueTable, FloatErrors
from intake.table.identify.density_map import DENSEST_G_CM3, LIGHTEST_G_CM3, DensityMap, below
from intake.table.identify.evidence import Density, FloatTest, Outcome

_REACH = 4.0
"""Standard deviations beyond which a reading no longer depends on the density."""

_NARROWEST_SD_G_CM3 = 0.0005
"""[g/cm3] no kitchen table reads a density or a bath better than this."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Seen:
    """The likelihood of one reading along the ladder: `under` before `start`, `values`, then `over`."""

    start: int
    stop: int
    values: tuple[float, ...]
    under: float
    over: float


def p_floats(density_g_cm3: float, sd_g_cm3: float, bath_g_cm3: float, bath_sd_g_cm3: float) -> float:
    """Probability that a piece of one resin is lighter than a bath.

    Args:
        density_g_cm3: [g/cm3] mean density of the resin, > 0.
        sd_g_cm3: [g/cm3] standard deviation between items, >= 0.
        bath_g_cm3: [g/cm3] density of the bath, > 0.
        bath_sd_g_cm3: [g/cm3] standard deviation of mixing and reading it, > 0.

    Returns:
        [-] probability; 0.5 where both meet. Slips of the hand are not in it.

    Source: normal-error model, Phi((bath - density) / sqrt(sd² + bath_sd²)).
    """
    return below((bath_g_cm3 - density_g_cm3) / sqrt(sd_g_cm3**2 + bath_sd_g_cm3**2))


def seen_float(test: FloatTest, ladder: DensityMap, errors: FloatErrors) -> Seen:
    """What one float outcome says along the ladder: the true outcome, mixed with slips of the hand.

    A piece lighter than the bath by more than the hover width rises, a denser one goes down, the rest hovers;
    the bath's own density is doubtful by its standard deviation.
    """
    sd, half = max(test.bath_sd_g_cm3, _NARROWEST_SD_G_CM3), errors.hover_g_cm3
    low, high = test.bath_g_cm3 - half, test.bath_g_cm3 + half
    start, stop = ladder.rungs(low - _REACH * sd, high + _REACH * sd)
    up, down, still = errors.floats_though_denser, errors.sinks_though_lighter, errors.hovers_though_not
    right = 1.0 - up - down - still
    middles = ladder.middles[start:stop]
    if test.outcome is Outcome.FLOATS:
        values = [up + right * p for p in _chances_below(low, middles, sd)]
        return Seen(start=start, stop=stop, values=tuple(values), under=up + right, over=up)
    if test.outcome is Outcome.SINKS:
        values = [down + right * (1.0 - p) for p in _chances_below(high, middles, sd)]
        return Seen(start=start, stop=stop, values=tuple(values), under=down, over=down + right)
    both = zip(_chances_below(high, middles, sd), _chances_below(low, middles, sd), strict=True)
    values = [still + right * (a - b) for a, b in both]
    return Seen(start=start, stop=stop, values=tuple(values), under=still, over=still)


def _chances_below(limit: float, middles: Sequence[float], sd: float) -> list[float]:
    """[-] For each rung, the chance that it lies below a limit of that doubt."""
    scale = 1.0 / (sd * sqrt(2.0))
    return [0.5 + 0.5 * erf((limit - x) * scale) for x in middles]


def seen_density(test: Density, ladder: DensityMap, gross_error: float) -> Seen:
    """What a measured density says along the ladder: normal, with a floor for gross errors."""
    floor = gross_error / (DENSEST_G_CM3 - LIGHTEST_G_CM3)
    sd = max(test.sd_g_cm3, _NARROWEST_SD_G_CM3)
    start, stop = ladder.rungs(test.density_g_cm3 - _REACH * sd, test.density_g_cm3 + _REACH * sd)
    peak = (1.0 - gross_error) / (sd * sqrt(2.0 * pi))
    edges = ladder.edges
    values = []
    for k in range(start, stop):
        width = edges[k + 1] - edges[k]
        if width > sd:  # a rung wider than the reading's doubt: the mean over the rung
            low, high = ((edge - test.density_g_cm3) / sd for edge in (edges[k], edges[k + 1]))
            values.append(floor + (1.0 - gross_error) * (below(high) - below(low)) / width)
        else:
            z = (ladder.middles[k] - test.density_g_cm3) / sd
            values.append(floor + peak * exp(-0.5 * z * z))
    return Seen(start=start, stop=stop, values=tuple(values), under=floor, over=floor)


@dataclass(frozen=True, slots=True, kw_only=True)
class Heard:
    """One reading along the ladder, and alone: natural logs of P(reading | resin), by judged resin."""

    seen: Seen
    alone: ByResin


@lru_cache(maxsize=1024)
def heard(test: FloatTest | Density, ladder: DensityMap, table: CueTable) -> Heard:
    """What one reading says; kept, because a table dips hundreds of pieces into the same few baths."""
    if isinstance(test, FloatTest):
        reading = seen_float(test, ladder, table.float_errors)
    else:
        reading = seen_density(test, ladder, table.gross_error)
    start, stop, values = reading.start, reading.stop, reading.values
    under, over = reading.under, reading.over
    alone = [
        log(under * c[start] + over * (1.0 - c[stop]) + sum(map(mul, values, s[start:stop])))
        for s, c in zip(ladder.shares, ladder.sums, strict=True)
    ]
    return Heard(seen=reading, alone=tuple(alone))


@dataclass(frozen=True, slots=True, kw_only=True)
class Product:
    """All readings multiplied: flat runs as (start, stop, value), the others as (start, stop, values)."""

    flats: tuple[tuple[int, int, float], ...]
    rows: tuple[tuple[int, int, tuple[float, ...]], ...]

    def over(self, shares: tuple[float, ...], sums: tuple[float, ...]) -> float:
        """The product averaged over one resin's densities."""
        total = 0.0
        for start, stop, value in self.flats:
            total += value * (sums[stop] - sums[start])
        for start, stop, values in self.rows:
            total += sum(map(mul, values, shares[start:stop]))
        return total

    def along(self) -> list[float]:
        """The product rung by rung."""
        runs = sorted((*self.rows, *((a, b, (v,) * (b - a)) for a, b, v in self.flats)))
        return [x for _, _, values in runs for x in values]


def product(readings: Sequence[Seen], rungs: int) -> Product:
    """The product of all readings; where none of them changes it is one flat run."""
    cuts = sorted({0, rungs, *(r.start for r in readings), *(r.stop for r in readings)})
    flats, rows = [], []
    for start, stop in pairwise(cuts):
        flat, row = 1.0, None
        for r in readings:
            if stop <= r.start:
                flat *= r.under
            elif start >= r.stop:
                flat *= r.over
            else:
                part = r.values[start - r.start : stop - r.start]
                row = part if row is None else tuple(map(mul, row, part))
        if row is None:
            flats.append((start, stop, flat))
        else:
            rows.append((start, stop, tuple([v * flat for v in row])))
    return Product(flats=tuple(flats), rows=tuple(rows))


def likelihoods(whole: Product, ladder: DensityMap) -> ByResin:
    """[-] P(all readings | resin), by judged resin."""
    return tuple([whole.over(s, c) for s, c in zip(ladder.shares, ladder.sums, strict=True)])


def filled_likelihoods(whole: Product, ladder: DensityMap, places: Iterable[int]) -> dict[int, float]:
    """[-] P(all readings and the piece is filled | resin), for the resins at `places`."""
    return {k: whole.over(ladder.filled[k], ladder.filled_sums[k]) for k in places}
