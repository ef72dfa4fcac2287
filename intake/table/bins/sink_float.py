"""Shred in a bath: what of each row of a lot is still there after the wrong part was taken out.

Model. A piece goes where its density says, and all pieces of one row have one density: if the row is resin m
(with its chance), it sinks with P(density of m > bath). Of what should leave a share strays and stays, the same
share for all rows of a lot (`stray_cases`: low, typical, high); of what should stay a share is lost. Repeated
baths narrow the density that the row can have, so floating twice in the same bath takes out strays but proves
nothing new. The mass that was taken out and weighed is evidence of which rows left (`sinkers`).
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum
from math import inf, isfinite, sqrt

from intake.errors import BadInput
from intake.spread import mean_of, of_three, sd_of
from intake.table.bins.budget import Entry
from intake.table.bins.sinkers import Expected, rows_out
from intake.table.identify.density_map import below
from intake.table.resins import Figure

_TEN_TO_NINETY = 2.0 * 1.2815515655446004
"""From the 10th to the 90th percentile of a normal distribution, in standard deviations."""


class Side(StrEnum):
    """Which part of the bath was taken out of the lot."""

    SINKERS = "sinkers"
    FLOATERS = "floaters"


@dataclass(frozen=True, slots=True, kw_only=True)
class SinkFloatTables:
    """What goes where in a bath.

    Attributes:
        density_g_cm3: [g/cm3] of each judged resin, as 10th, 50th and 90th percentile.
        strays: [-] of what should leave, the share that stays.
        good_lost: [-] of what should stay, the share that leaves.
        bath_sd_g_cm3: [g/cm3] doubt of a bath.
        slip: [-] chance that the weighed mass says nothing.
        left_on: [-] by label, adhesive, residue, closure: the share of it that leaves.
    """

    density_g_cm3: Mapping[str, Figure]
    strays: Figure
    good_lost: Figure
    bath_sd_g_cm3: Figure
    slip: Figure
    left_on: Mapping[str, Figure]

    def cdf(self, resin: str, density_g_cm3: float) -> float | None:
        """[-] Probability that a row of this resin is lighter; None where its density is not known."""
        figure = self.density_g_cm3.get(resin)
        if figure is None:
            return None
        sd = sqrt(((figure.high - figure.low) / _TEN_TO_NINETY) ** 2 + self.bath_sd_g_cm3.typical**2)
        return below((density_g_cm3 - figure.typical) / sd)


@dataclass(frozen=True, slots=True, kw_only=True)
class FloatStep:
    """One bath.

    Attributes:
        bath_g_cm3: [g/cm3] its density, 0.5..3.
        out: which part was taken out.
        out_g: [g] how much that was, dried; None: not weighed (or only planned).
        resolution_g: [g] step of the scale.
    """

    bath_g_cm3: float
    out: Side = Side.SINKERS
    out_g: float | None = None
    resolution_g: float = 1.0

    def __post_init__(self) -> None:
        if not 0.5 <= self.bath_g_cm3 <= 3.0:  # noqa: PLR2004
            raise BadInput(
                where="Bath density", got=self.bath_g_cm3, expected="0.5 to 3 g/cm3, such as 0.998 for water"
            )
        if self.out_g is not None and not (isfinite(self.out_g) and self.out_g >= 0.0):
            raise BadInput(where="Mass taken out", got=self.out_g, expected="0 g or more")


@dataclass(frozen=True, slots=True, kw_only=True)
class Fate:
    """One thing a row may be: a resin of a density within bounds, with what is left of it in the lot.

    Attributes:
        resin: what it is then.
        chance: [-] that it is so.
        kept: [-] share of the row's mass that is still in the lot.
        low_g_cm3: [g/cm3] it is denser than this.
        high_g_cm3: [g/cm3] it is lighter than this.
    """

    resin: str
    chance: float
    kept: float = 1.0
    low_g_cm3: float = -inf
    high_g_cm3: float = inf


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One row of a lot: [g] mass with its doubt, all that it may be, and what is still on it by material [g]."""

    mass_g: float
    sd_g: float
    fates: tuple[Fate, ...]
    left_on: Mapping[str, tuple[float, float]]


def rows_of(entries: Iterable[Entry], scale: float = 1.0) -> tuple[Row, ...]:
    """The rows of a lot before any bath; every mass times `scale` [-], what shredding left of it."""
    return tuple(
        Row(
            mass_g=scale * mean_of(entry.mass_g),
            sd_g=scale * sd_of(entry.mass_g),
            fates=tuple(Fate(resin=r, chance=p) for r, p in entry.chances.items() if p > 0.0),
            left_on={m: (scale * mean_of(g), scale * sd_of(g)) for m, g in entry.residues.items()},
        )
        for entry in entries
    )


def stray_cases(tables: SinkFloatTables) -> tuple[tuple[float, float], ...]:
    """Chance [-] and share that strays [-]: low, typical and high, weighed 30-40-30 as everywhere in the house."""
    figure = tables.strays
    return ((0.3, figure.low), (0.4, figure.typical), (0.3, figure.high))


def after_float(
    rows: Sequence[Row], step: FloatStep, strays: float, tables: SinkFloatTables
) -> tuple[tuple[Row, ...], float]:
    """The rows after a bath in which the share `strays` [-] of what should leave stays.

    Where the part taken out was weighed, that is evidence of which rows left; how likely it was with this
    share (relative; 1 where nothing was weighed) is given with the rows.
    """
    parted = [_parted(row, step, tables) for row in rows]
    chances = [min(1.0, sum(f.chance for f in out)) for out, _ in parted]
    lost, lost_sd = _share(tables.good_lost)
    after, likely = chances, 1.0
    if step.out_g is not None:
        left_g = sum(mass * _share(tables.left_on[m])[0] for r in rows for m, (mass, _) in r.left_on.items())
        sides = list(zip(rows, parted, strict=True))
        stay_g = sum(row.mass_g * f.chance * f.kept for row, (_, stays) in sides for f in stays)
        spread_g2 = sum(f.chance * (row.sd_g * f.kept) ** 2 for row, (out, _) in sides for f in out)
        masses = [_out_g(row, out, strays) for row, (out, _) in sides]
        scale_g2 = (left_g**2 + step.resolution_g**2) / 12.0
        after, likely = rows_out(
            tuple(zip(chances, masses, strict=True)), step.out_g,
            Expected(
                mean_g=lost * stay_g + left_g / 2.0,
                sd_g=sqrt((lost_sd * stay_g) ** 2 + spread_g2 + scale_g2),
                slip=tables.slip.typical,
            ),
        )  # fmt: skip
    moved = tuple(
        _moved(row, out, stays, (before, now), (strays, lost), tables)
        for row, (out, stays), before, now in zip(rows, parted, chances, after, strict=True)
    )
    return moved, likely


def _parted(row: Row, step: FloatStep, tables: SinkFloatTables) -> tuple[list[Fate], list[Fate]]:
    """The row's fates on the side that is taken out, and on the side that stays.

    What has no known density stays: no bath is trusted to take it out.
    """
    out: list[Fate] = []
    stays: list[Fate] = []
    for fate in row.fates:
        at = min(max(step.bath_g_cm3, fate.low_g_cm3), fate.high_g_cm3)
        bounds = [tables.cdf(fate.resin, d) for d in (fate.low_g_cm3, at, fate.high_g_cm3)]
        if None in bounds:
            stays.append(fate)
            continue
        low, middle, high = (b or 0.0 for b in bounds)
        lighter = (middle - low) / (high - low) if high > low else float(at >= fate.high_g_cm3)
        floats = replace(fate, chance=fate.chance * lighter, high_g_cm3=at)
        sinks = replace(fate, chance=fate.chance * (1.0 - lighter), low_g_cm3=at)
        out.append(sinks if step.out is Side.SINKERS else floats)
        stays.append(floats if step.out is Side.SINKERS else sinks)
    return [f for f in out if f.chance > 0.0], [f for f in stays if f.chance > 0.0]


def _out_g(row: Row, out: Sequence[Fate], strays: float) -> float:
    """[g] What leaves if the row is on the side that is taken out."""
    chance = sum(f.chance for f in out)
    return row.mass_g * (1.0 - strays) * sum(f.chance * f.kept for f in out) / chance if chance > 0.0 else 0.0


def _moved(
    row: Row, out: Sequence[Fate], stays: Sequence[Fate], chance: tuple[float, float],
    shares: tuple[float, float], tables: SinkFloatTables,
) -> Row:  # fmt: skip
    """The row after the bath, its chance of leaving moved from the first to the second of `chance`."""
    (before, now), (strays, lost) = chance, shares
    left = now / before if before > 0.0 else 1.0
    stayed = (1.0 - now) / (1.0 - before) if before < 1.0 else 1.0
    fates = [replace(f, chance=f.chance * left, kept=f.kept * strays) for f in out]
    fates += [replace(f, chance=f.chance * stayed, kept=f.kept * (1.0 - lost)) for f in stays]
    kept = {m: 1.0 - _share(tables.left_on[m])[0] for m in row.left_on}
    return replace(
        row,
        fates=tuple(fates),
        left_on={m: (g * kept[m], sd * kept[m]) for m, (g, sd) in row.left_on.items()},
    )


def _share(figure: Figure) -> tuple[float, float]:
    """Mean and standard deviation of a figure read as percentiles."""
    spread = of_three(figure.low, figure.typical, figure.high)
    return mean_of(spread), sd_of(spread)
