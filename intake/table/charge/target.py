"""What a mould needs.

Part mass = cavity × (1 − S)³ × solid density; charge = part mass × (1 + overfill) + flash + losses.
"""

from dataclasses import dataclass
from math import isfinite

from intake.errors import BadInput
from intake.spread import Spread, mean_of
from intake.table.charge.fills import MANY_FILLS, Fills, fill_plan
from intake.table.charge.heat import HeatTables, heat_j_g, heat_kwh
from intake.table.charge.parts import MeasuredPart, Moulding, after_parts, part_mass_g
from intake.table.charge.shrink import MeltDensity, ShrinkTables, melt_density, pvt_shrinkage
from intake.table.resins import Figure, Reason, ResinId, ResinTable
from intake.table.yields.bulk import BulkTables
from intake.table.yields.losses import spread_of

_M3_IN_CM3 = 1e6
_MAX_SHARE = 0.5
_MAX_TEMP_C = 350.0
_CM3_PER_L = 1000.0


@dataclass(frozen=True, slots=True, kw_only=True)
class ChargeSpec:
    """What somebody wants to mould; refuses figures that cannot be meant.

    Attributes:
        id: name of the charge.
        resin: host resin.
        cavity_cm3: [cm3] room in the mould, above 0 and below a cubic metre.
        overfill_share: [-] of the part mass put in on top, 0..0.5.
        flash_g: [g] what squeezes out and is cut off, >= 0.
        loss_share: [-] of the part mass that sticks to bowls and parchment, 0..0.5.
        pressed: True where the melt is weighted or pressed while it cools.
        colours: colour groups that may go in; empty: any.
        parts: finished parts of the same resin, weighed or measured, oldest first.
    """

    id: str
    resin: ResinId
    cavity_cm3: float
    overfill_share: float = 0.05
    flash_g: float = 0.0
    loss_share: float = 0.02
    pressed: bool = True
    colours: tuple[str, ...] = ()
    parts: tuple[MeasuredPart, ...] = ()

    def __post_init__(self) -> None:
        where = f"Charge {self.id}"
        _check_cavity(where, self.cavity_cm3)
        for name, share in (("overfill", self.overfill_share), ("loss", self.loss_share)):
            if not isfinite(share) or not 0.0 <= share <= _MAX_SHARE:
                expected = "a share from 0 to 0.5 of the part, such as 0.05 for 5 %"
                raise BadInput(where=f"{where}, {name}", got=f"{share:g}", expected=expected)
        if not isfinite(self.flash_g) or not 0.0 <= self.flash_g < _M3_IN_CM3:
            got = f"{self.flash_g:g} g"
            raise BadInput(where=f"{where}, flash", got=got, expected="a mass of 0 g or more")


@dataclass(frozen=True, slots=True, kw_only=True)
class ChargeTables:
    """All that a charge is worked out from."""

    resins: ResinTable
    shrink: ShrinkTables
    heat: HeatTables
    bulk: BulkTables


@dataclass(frozen=True, slots=True, kw_only=True)
class Shrinkage:
    """Linear shrinkage as used and what stands beside it.

    Attributes:
        oven: [-] of slow cooling by the handbook.
        used: [-] for the part: `oven`, corrected by finished parts where there are any.
        handbook: [-] range of the injection tables.
        pvt: [-] low, typical, high by the Tait equation; None without constants.
    """

    oven: Figure
    used: Spread
    handbook: Figure
    pvt: tuple[float, float, float] | None


@dataclass(frozen=True, slots=True, kw_only=True)
class ChargePlan:
    """What the mould needs and how it is filled.

    Attributes:
        spec: what was asked.
        part_g: [g] the cold part.
        charge_g: [g] clean shred to have.
        overfill_g: [g] part of the charge put in on top.
        losses_g: [g] part of the charge that sticks to bowls and parchment.
        level_melt_fill_g: [g] one level fill of melt.
        collar_g: [g] what must stand above the rim and be pressed in: part - level fill.
        shrinkage: used and beside it.
        melt: density of the melt.
        melt_temp_c: [degC] of the melt.
        fills: how many, and what each adds.
        shred_volume_l: [L] room of the charge as shred.
        heat_kwh: [kWh] to melt the charge, without oven and mould.
        cautions: ids.
        reasons: what to know.
        sources: keys of the works that the figures come from.
    """

    spec: ChargeSpec
    part_g: Spread
    charge_g: Spread
    overfill_g: Spread
    losses_g: Spread
    level_melt_fill_g: float
    collar_g: Spread
    shrinkage: Shrinkage
    melt: MeltDensity
    melt_temp_c: float
    fills: Fills
    shred_volume_l: Spread
    heat_kwh: Spread
    cautions: tuple[str, ...]
    reasons: tuple[Reason, ...]
    sources: tuple[str, ...]


def charge_plan(
    spec: ChargeSpec, tables: ChargeTables, *, form: str = "granulator-flake", temp_c: float | None = None
) -> ChargePlan:
    """The plan for a charge.

    Args:
        spec: what is to be moulded.
        tables: resins, shrinkage, heat and bulk.
        form: form of shred that goes in.
        temp_c: [degC] of the melt; None: typical of the oven window.

    Raises:
        BadInput: the resin has no melt figures, or the temperature melts nothing.
        UnknownName: no such form of shred.
    """
    row = tables.shrink.row(spec.resin)
    heat = tables.heat.rows[spec.resin]
    at_c = _checked_temp_c(heat.melt_c.typical if temp_c is None else temp_c, heat.change_c)
    solid = solid_density(spec.resin, tables.resins)
    melt = melt_density(spec.resin, at_c, solid.typical, tables.shrink)
    start = Moulding(
        shrinkage=spread_of(row.oven, "shrinkage"), solid_g_cm3=spread_of(solid, "solid density")
    )
    moulding = after_parts(start, spec.parts, tables.shrink.part_doubt)
    part_g = part_mass_g(spec.cavity_cm3, moulding.shrinkage, moulding.solid_g_cm3)
    overfill_g, losses_g = part_g * spec.overfill_share, part_g * spec.loss_share
    charge_g = part_g + overfill_g + spec.flash_g + losses_g
    bulk = tables.bulk.shred(form, spec.resin)
    fills = fill_plan(spec.cavity_cm3, bulk, melt.density_g_cm3)
    level_g = spec.cavity_cm3 * melt.density_g_cm3
    pvt = pvt_shrinkage(spec.resin, tables.shrink)
    figures = (row.oven, row.moulded, row.contraction, solid, bulk, heat.melt_c, heat.cp_solid_j_gk)
    return ChargePlan(
        spec=spec, part_g=part_g, charge_g=charge_g, overfill_g=overfill_g, losses_g=losses_g,
        level_melt_fill_g=level_g, collar_g=part_g - level_g,
        shrinkage=Shrinkage(oven=row.oven, used=moulding.shrinkage, handbook=row.moulded, pvt=pvt),
        melt=melt, melt_temp_c=at_c, fills=fills,
        shred_volume_l=charge_g / spread_of(bulk, "bulk") / _CM3_PER_L,
        heat_kwh=heat_kwh(charge_g, heat_j_g(heat, at_c)),
        cautions=(*tables.heat.cautions, *heat.cautions),
        reasons=(*_reasons(spec, part_g, level_g, fills, melt), *moulding.reasons),
        sources=tuple(dict.fromkeys(f.source for f in figures if f.source)),
    )  # fmt: skip


def _reasons(
    spec: ChargeSpec, part_g: Spread, level_g: float, fills: Fills, melt: MeltDensity
) -> tuple[Reason, ...]:
    """What a person must know of the plan."""
    part = mean_of(part_g)
    reasons = []
    if part > level_g:
        reasons.append(Reason.of("level_fill_short", level_g=level_g, part_g=part, collar_g=part - level_g))
    if not spec.pressed:
        reasons.append(Reason.of("unpressed_draws_in"))
    if fills.mean > MANY_FILLS:
        reasons.append(Reason.of("many_fills", fills=fills.mean))
    if melt.by != "tait":
        reasons.append(Reason.of("melt_density_rough", resin=spec.resin))
    return tuple(reasons)


def solid_density(resin: ResinId, resins: ResinTable) -> Figure:
    """Solid density of the resin, or of the nearest wider term that has one.

    Raises:
        BadInput: the resin table has none.
    """
    for wider in resins.line(resin):
        density = resins.rows[wider].density_g_cm3
        if density is not None:
            return density
    raise BadInput(where="Resin of the charge", got=resin, expected="a resin whose density is known")


def _checked_temp_c(temp_c: float, change: Figure) -> float:
    """The melt temperature, above the melting or glass point and below anything an oven is for."""
    if not isfinite(temp_c) or not change.typical < temp_c <= _MAX_TEMP_C:
        raise BadInput(
            where="Melt temperature", got=f"{temp_c:g} °C",
            expected=f"above {change.typical:g} °C, where it melts, and up to {_MAX_TEMP_C:g} °C",
        )  # fmt: skip
    return temp_c


def _check_cavity(where: str, cavity_cm3: float) -> None:
    """Refuse a cavity that holds nothing or a whole room."""
    if isfinite(cavity_cm3) and 0.0 < cavity_cm3 < _M3_IN_CM3:
        return
    expected = "a volume above 0, such as 3600 cm3"
    if isfinite(cavity_cm3) and cavity_cm3 >= _M3_IN_CM3:
        expected = "a cavity below 1 m³, such as 3600 cm3 (did you mean cm³?)"
    got = f"{cavity_cm3 / _M3_IN_CM3:g} m3" if cavity_cm3 >= _M3_IN_CM3 else f"{cavity_cm3:g} cm3"
    raise BadInput(where=f"{where}, cavity", got=got, expected=expected)
