"""Specific volume of melt and solid by the Tait equation, and how much a part shrinks from its mould.

Tait: v(t, P) = v0(t) (1 - C ln(1 + P / B(t))), C = 0.0894, with v0 a quadratic and B an exponential of t.
Source of the constants: `shrinkage.toml`; of the form: Danner and High, Handbook of Polymer Solution
Thermodynamics, as documented in the work S01 (the handbook itself was not read).
"""

from collections.abc import Mapping
from dataclasses import dataclass
from math import exp, log

from intake.errors import BadInput
from intake.table.charge.parts import PartDoubt
from intake.table.resins import Figure, ResinId

_C = 0.0894
_KELVIN = 273.15
_CM3_G = 1000.0
ROOM_C = 23.0
"""[degC] where parts are measured and solid densities are given."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TaitMelt:
    """Tait constants of a melt, valid from `from_c` to `to_c`.

    Attributes:
        a0_m3_kg: [m3/kg] at 0 degC.
        a1_m3_kg_c: [m3/(kg K)].
        a2_m3_kg_c2: [m3/(kg K2)].
        b0_pa: [Pa] at 0 degC.
        b1_per_c: [1/K].
        from_c: [degC] lowest temperature of the data.
        to_c: [degC] highest temperature of the data.
    """

    a0_m3_kg: float
    a1_m3_kg_c: float
    a2_m3_kg_c2: float
    b0_pa: float
    b1_per_c: float
    from_c: float
    to_c: float

    def volume_cm3_g(self, temp_c: float, pressure_pa: float = 0.0) -> float:
        """[cm3/g] Specific volume; the caller keeps the temperature inside the data (`clamped_c`)."""
        zero = self.a0_m3_kg + self.a1_m3_kg_c * temp_c + self.a2_m3_kg_c2 * temp_c**2
        return _CM3_G * zero * (1.0 - _C * log(1.0 + pressure_pa / self.stiffness_pa(temp_c)))

    def stiffness_pa(self, temp_c: float) -> float:
        """[Pa] B(t) = B0 exp(-B1 t)."""
        return self.b0_pa * exp(-self.b1_per_c * temp_c)

    def clamped_c(self, temp_c: float) -> float:
        """[degC] The temperature, or the nearest end of the data."""
        return min(max(temp_c, self.from_c), self.to_c)


@dataclass(frozen=True, slots=True, kw_only=True)
class TaitTwoDomain:
    """Tait constants of melt and solid on cooling, with the transition between them.

    `melt` and `solid` are (b1, b2, b3, b4) in m3/kg, m3/(kg K), Pa, 1/K; the transition lies at b5 + b6 P
    [K]; the solid keeps b7 exp(b8 (T - b5) - b9 P) of crystallising volume. `set_c` [degC] is where the part
    is too stiff to be fed any more.
    """

    melt: tuple[float, float, float, float]
    solid: tuple[float, float, float, float]
    b5_k: float
    b6_k_pa: float
    b7_m3_kg: float
    b8_per_k: float
    b9_per_pa: float
    set_c: Figure

    def volume_cm3_g(self, temp_c: float, pressure_pa: float = 0.0) -> float:
        """[cm3/g] Specific volume of a resin that is being cooled."""
        temp_k = temp_c + _KELVIN
        molten = temp_k > self.b5_k + self.b6_k_pa * pressure_pa
        b1, b2, b3, b4 = self.melt if molten else self.solid
        above_k = temp_k - self.b5_k
        extra = 0.0 if molten else self.b7_m3_kg * exp(self.b8_per_k * above_k - self.b9_per_pa * pressure_pa)
        stiffness_pa = b3 * exp(-b4 * above_k)
        return _CM3_G * ((b1 + b2 * above_k) * (1.0 - _C * log(1.0 + pressure_pa / stiffness_pa)) + extra)


@dataclass(frozen=True, slots=True, kw_only=True)
class ShrinkRow:
    """What is known of one resin without an equation; all shares.

    Attributes:
        moulded: [-] linear shrinkage of the injection tables, the handbook range.
        oven: [-] linear shrinkage with slow cooling in an oven.
        contraction: [-] melt volume that is gone when the melt is cold and solid.
    """

    moulded: Figure
    oven: Figure
    contraction: Figure


@dataclass(frozen=True, slots=True, kw_only=True)
class ShrinkTables:
    """Shrinkage by resin, Tait constants where somebody measured them, and how far one part differs."""

    rows: Mapping[ResinId, ShrinkRow]
    melts: Mapping[ResinId, TaitMelt]
    two_domain: Mapping[ResinId, TaitTwoDomain]
    part_doubt: PartDoubt

    def row(self, resin: ResinId) -> ShrinkRow:
        """The row of a resin.

        Raises:
            BadInput: the handbook has no melt figures for it (PVC never gets any).
        """
        if resin not in self.rows:
            raise BadInput(
                where="Resin of the charge", got=resin, expected="a resin that can be melted in an oven: "
                + ", ".join(self.rows),
            )  # fmt: skip
        return self.rows[resin]


@dataclass(frozen=True, slots=True, kw_only=True)
class MeltDensity:
    """Density of a melt without pressure, and where it comes from.

    Attributes:
        density_g_cm3: [g/cm3].
        by: `tait`, `tait-end` (outside the data, whose nearest end was used) or `contraction`.
    """

    density_g_cm3: float
    by: str


def melt_density(resin: ResinId, temp_c: float, solid_g_cm3: float, tables: ShrinkTables) -> MeltDensity:
    """Density of the melt at `temp_c` [degC]: by Tait where constants exist, else solid * (1 - contraction).

    Raises:
        BadInput: the handbook has no melt figures for the resin.
    """
    row, tait = tables.row(resin), tables.melts.get(resin)
    if tait is None:
        return MeltDensity(density_g_cm3=solid_g_cm3 * (1.0 - row.contraction.typical), by="contraction")
    at_c = tait.clamped_c(temp_c)
    return MeltDensity(
        density_g_cm3=1.0 / tait.volume_cm3_g(at_c), by="tait" if at_c == temp_c else "tait-end"
    )


def pvt_shrinkage(resin: ResinId, tables: ShrinkTables) -> tuple[float, float, float] | None:
    """[-] Linear shrinkage, low, typical and high, by the two-domain Tait equation; None without constants.

    S = 1 - (v(23 degC) / v(set))^(1/3): a pressed and fed part follows its mould until it is too stiff at
    `set`, from there it shrinks alike in all directions. A second opinion beside the table, never mixed in.
    """
    tait = tables.two_domain.get(resin)
    if tait is None:
        return None
    cold = tait.volume_cm3_g(ROOM_C)
    low, typical, high = (
        1.0 - (cold / tait.volume_cm3_g(c)) ** (1.0 / 3.0)
        for c in (tait.set_c.low, tait.set_c.typical, tait.set_c.high)
    )
    return low, typical, high
