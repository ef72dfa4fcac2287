"""Heat to bring shred from the room to the melt, and whether mould and parchment stand it."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

from intake.spread import Spread
from intake.table.resins import Figure, Reason, ResinId
from intake.table.yields.losses import spread_of

START_C = 20.0
_KELVIN = 273.15
_KJ_PER_KWH = 3600.0


@dataclass(frozen=True, slots=True, kw_only=True)
class HeatRow:
    """Heat figures of one resin.

    Attributes:
        change_c: [degC] melting point, or glass transition of an amorphous resin.
        melt_c: [degC] oven and compression window; never a machine's.
        cp_solid_j_gk: [J/(g K)] mean below the change.
        cp_melt_j_gk: [J/(g K)] mean above it.
        fusion_j_g: [J/g] of the wholly crystalline resin; None where it does not crystallise.
        crystallinity: [-] crystalline share; None where it does not crystallise.
        cautions: ids of cautions that this resin's melt adds.
    """

    change_c: Figure
    melt_c: Figure
    cp_solid_j_gk: Figure
    cp_melt_j_gk: Figure
    fusion_j_g: Figure | None
    crystallinity: Figure | None
    cautions: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class HeatTables:
    """Heat by resin, measured heat capacities, the oven, and cautions that every melt shows.

    Attributes:
        rows: by resin.
        measured: (temperature [K], heat capacity [J/(kg K)]) by resin, rising.
        oven_kw: [kW] what an oven draws in use.
        minutes_between_fills: [min] from one top-up to the next.
        overshoot_k: [K] how far an oven runs above its dial.
        limit_unknown_c: [degC] what mould and parchment are taken to stand where the maker was not asked.
        cautions: ids.
    """

    rows: Mapping[ResinId, HeatRow]
    measured: Mapping[ResinId, tuple[tuple[float, float], ...]]
    oven_kw: Figure
    minutes_between_fills: Figure
    overshoot_k: Figure
    limit_unknown_c: Figure
    cautions: tuple[str, ...]


def heat_j_g(row: HeatRow, temp_c: float) -> Spread:
    """[J/g] Heat from 20 degC to `temp_c` [degC].

    cp_solid (change - 20) + crystallinity fusion + cp_melt (t - change).

    Below the change nothing melts and only the first term counts, up to `temp_c`. Sensible heat of means, so
    expect 15 % either way.
    """
    change_c = spread_of(row.change_c, "change")
    cp_solid = spread_of(row.cp_solid_j_gk, "cp solid")
    if temp_c <= row.change_c.typical:
        return cp_solid * (temp_c - START_C)
    fusion: Spread = 0.0
    if row.fusion_j_g and row.crystallinity:
        fusion = spread_of(row.fusion_j_g, "fusion") * spread_of(row.crystallinity, "crystallinity")
    cp_melt = spread_of(row.cp_melt_j_gk, "cp melt")
    return cp_solid * (change_c - START_C) + fusion + cp_melt * (temp_c - change_c)


def heat_kwh(mass_g: Spread, heat: Spread) -> Spread:
    """[kWh] Heat of a mass [g] at `heat` [J/g]."""
    return mass_g * heat / 1000.0 / _KJ_PER_KWH


def measured_heat_j_g(points: Sequence[tuple[float, float]], from_c: float, to_c: float) -> float:
    """[J/g] Area under measured heat capacity from `from_c` to `to_c`, by trapezia; inside the table only.

    Args:
        points: (temperature [K], heat capacity [J/(kg K)]), rising.
        from_c: [degC] start.
        to_c: [degC] end, above the start.
    """
    low_k, high_k = from_c + _KELVIN, to_c + _KELVIN
    inside = [(t, c) for t, c in points if low_k < t < high_k]
    line = [(low_k, _at(points, low_k)), *inside, (high_k, _at(points, high_k))]
    return sum((b[0] - a[0]) * (a[1] + b[1]) / 2.0 for a, b in pairwise(line)) / 1000.0


def oven_limit(setting_c: float, limit_c: float | None, tables: HeatTables) -> Reason | None:
    """A warning where the oven may run hotter than mould or parchment stand.

    Args:
        setting_c: [degC] of the dial.
        limit_c: [degC] by their maker; None where nobody asked, then the handbook's cautious figure.
        tables: overshoot and the cautious figure.
    """
    hottest_c = setting_c + tables.overshoot_k.typical
    allowed_c = tables.limit_unknown_c.typical if limit_c is None else limit_c
    if hottest_c <= allowed_c:
        return None
    if limit_c is None:
        return Reason.of("oven_near_unknown_limit", hottest_c=hottest_c, limit_c=allowed_c)
    return Reason.of("oven_above_limit", hottest_c=hottest_c, limit_c=allowed_c)


def oven_limits(setting_c: float, limits_c: Sequence[float | None], tables: HeatTables) -> tuple[Reason, ...]:
    """Warnings for several things in the oven: one for the weakest by its maker, one for those nobody asked about.

    Args:
        setting_c: [degC] of the dial.
        limits_c: [degC] of each; None where its maker was not asked.
        tables: overshoot and the cautious figure.
    """
    asked = [c for c in limits_c if c is not None]
    weakest = (min(asked),) if asked else ()
    unasked = (None,) if len(asked) < len(limits_c) else ()
    found = [oven_limit(setting_c, c, tables) for c in (*weakest, *unasked)]
    return tuple(r for r in found if r is not None)


def _at(points: Sequence[tuple[float, float]], temp_k: float) -> float:
    """The value at `temp_k` on the line between its neighbours."""
    for (t0, c0), (t1, c1) in pairwise(points):
        if t0 <= temp_k <= t1:
            return c0 + (c1 - c0) * (temp_k - t0) / (t1 - t0)
    return points[0][1] if temp_k < points[0][0] else points[-1][1]
