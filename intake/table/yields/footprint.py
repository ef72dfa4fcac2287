"""Water, electricity and minutes of one kilogram of clean shred, beside the heat it needs and virgin resin.

Warm wash water costs more than the heat that melts the plastic, and a home oven draws more than either for a
small batch: an oven runs its hours whether it is full or not. Both are shown, with the batch from which the
oven draws less per kilogram than the wash.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from math import exp, log, sqrt

from intake.errors import BadInput, UnknownName
from intake.spread import Z90, Interval, Spread, mean_of, sd_of
from intake.table.resins import Figure, ResinId
from intake.table.yields.losses import spread_of

KJ_PER_KWH = 3600.0
KG_PER_L = 1.0
"""[kg/L] wash water; half a per cent less when warm does not show."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Virgin:
    """What one kilogram of virgin pellets took, cradle to gate; the energy holds the oil in the resin itself."""

    energy_mj_kg: Figure
    water_l_kg: Figure
    co2e_kg_kg: Figure


@dataclass(frozen=True, slots=True, kw_only=True)
class FootprintTables:
    """Figures of washing, cutting and the oven.

    Attributes:
        wash_l_kg: [L/kg] wash water by way of washing: `tubs`, `tap`, `plant`.
        warmed_k: [K] that it is warmed.
        water_kj_kg_k: [kJ/(kg K)] heat capacity of water.
        shred_kwh_kg: [kWh/kg] of cutting by shredder.
        oven_h: [h] that the oven runs for one batch.
        batch_kg: [kg] usual batches of a home oven; low, typical and high are shown.
        virgin: by resin.
    """

    wash_l_kg: Mapping[str, Figure]
    warmed_k: Figure
    water_kj_kg_k: Figure
    shred_kwh_kg: Mapping[str, Figure]
    oven_h: Figure
    batch_kg: Figure
    virgin: Mapping[ResinId, Virgin]

    def sources(self) -> tuple[str, ...]:
        """Keys of the works behind the figures."""
        figures = [*self.wash_l_kg.values(), self.water_kj_kg_k, *self.shred_kwh_kg.values()]
        figures += [f for v in self.virgin.values() for f in (v.energy_mj_kg, v.water_l_kg, v.co2e_kg_kg)]
        return tuple(dict.fromkeys(f.source for f in figures if f.source))


@dataclass(frozen=True, slots=True, kw_only=True)
class Footprint:
    """One kilogram of clean shred of a resin, washed one way, cut with one shredder.

    Attributes:
        resin: whose heat and virgin figures these are.
        water_l: [L] wash water.
        wash_kwh: [kWh] to warm it; 0 where it is used cold.
        shred_kwh: [kWh] of cutting.
        melt_kwh: [kWh] that melting takes in theory.
        oven_kwh: [kWh] that a home oven draws per kilogram, by batch [kg], the smallest first.
        even_batch_kg: [kg] batch above which the oven draws less per kilogram than the wash; None for a cold wash.
        minutes: [min] of hand work; None where nobody worked it out.
        virgin: the same resin new; None where nobody gives it.
    """

    resin: ResinId
    water_l: Spread
    wash_kwh: Spread
    shred_kwh: Spread
    melt_kwh: Spread
    oven_kwh: tuple[tuple[float, Spread], ...]
    even_batch_kg: float | None
    minutes: Spread | None
    virgin: Virgin | None


def footprint(
    tables: FootprintTables, resin: ResinId, *, shredder: str, melt_j_g: Spread, oven_kw: Figure,
    wash: str = "tubs", warm: bool = True, minutes_kg: Spread | None = None,
) -> Footprint:  # fmt: skip
    """The footprint of one kilogram of clean shred.

    wash = litres * 4.18 kJ/(kg K) * kelvin / 3600; oven = kW * hours / batch; melt = J/g / 3600.

    Args:
        tables: the figures.
        resin: of the shred.
        shredder: row of `shred_kwh_kg`.
        melt_j_g: [J/g] heat from 20 degC into the melt.
        oven_kw: [kW] what an oven draws in use.
        wash: row of `wash_l_kg`.
        warm: False for a cold wash.
        minutes_kg: [min/kg] of hand work.

    Raises:
        UnknownName: no such shredder or way of washing.
    """
    for name, known, where in ((shredder, tables.shred_kwh_kg, "Shredder"), (wash, tables.wash_l_kg, "Wash")):
        if name not in known:
            raise UnknownName(where=where, got=name, known=known)
    water_l = spread_of(tables.wash_l_kg[wash], f"wash {wash}")
    warmed_k = spread_of(tables.warmed_k, "warmed") if warm else 0.0
    wash_kwh = water_l * KG_PER_L * tables.water_kj_kg_k.typical * warmed_k / KJ_PER_KWH
    batch_kwh = spread_of(oven_kw, "oven") * spread_of(tables.oven_h, "oven hours")
    batches = (tables.batch_kg.low, tables.batch_kg.typical, tables.batch_kg.high)
    return Footprint(
        resin=resin,
        water_l=water_l,
        wash_kwh=wash_kwh,
        shred_kwh=spread_of(tables.shred_kwh_kg[shredder], f"shred {shredder}"),
        melt_kwh=melt_j_g / KJ_PER_KWH,
        oven_kwh=tuple((kg, oven_kwh_kg(batch_kwh, kg)) for kg in batches),
        even_batch_kg=mean_of(batch_kwh) / mean_of(wash_kwh) if warm else None,
        minutes=minutes_kg,
        virgin=tables.virgin.get(resin),
    )


def likely_range(amount: Spread) -> Interval:
    """Mean with the 5th and 95th percentile of a log-normal of this mean and doubt: never below 0.

    Water and electricity of a table are known to a factor, not to a plus or minus.
    """
    mean, sd = mean_of(amount), sd_of(amount)
    if mean <= 0.0 or sd == 0.0:
        return Interval(mean=mean, low=mean, high=mean)
    variance = log(1.0 + (sd / mean) ** 2)
    middle, half = log(mean) - variance / 2.0, Z90 * sqrt(variance)
    return Interval(mean=mean, low=exp(middle - half), high=exp(middle + half))


def oven_kwh_kg(batch_kwh: Spread, batch_kg: float) -> Spread:
    """[kWh/kg] What an oven draws for each kilogram of a batch [kg]: the same hours, shared by more or less.

    Raises:
        BadInput: a batch that is not above 0 kg.
    """
    if not 0.0 < batch_kg < float("inf"):
        raise BadInput(where="Batch", got=batch_kg, expected="kilograms above 0, such as 1")
    return batch_kwh / batch_kg
