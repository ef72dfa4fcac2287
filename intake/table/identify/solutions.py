"""How dense a solution is: one published correlation per solute, all with the same question."""

import math
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Protocol

from intake.table.identify.water_density import KG_M3_PER_G_CM3, WaterFit


class SolutionFit(Protocol):
    """Anything that knows the density of a solution."""

    def density_g_cm3(self, mass_fraction: float, temp_c: float) -> float:
        """[g/cm3] at the mass fraction of pure solute [0..1] and temperature [degC]."""


def _polynomial(coefficients: Iterable[float], x: float) -> float:
    """c0 + c1 x + c2 x^2 + ..."""
    return sum(c * x**power for power, c in enumerate(coefficients))


@dataclass(frozen=True, slots=True, kw_only=True)
class PlainWater:
    """No solute at all; the mass fraction is not looked at."""

    water: WaterFit

    def density_g_cm3(self, mass_fraction: float, temp_c: float) -> float:
        """[g/cm3] Density of water at `temp_c` [degC]."""
        del mass_fraction
        return self.water.density_g_cm3(temp_c)


@dataclass(frozen=True, slots=True, kw_only=True)
class SaltFit:
    """Sodium chloride in water: specific volumes of water and of the dissolved salt add up."""

    water: WaterFit
    c: tuple[float, float, float, float, float]

    def density_g_cm3(self, mass_fraction: float, temp_c: float) -> float:
        """Density of brine.

        Args:
            mass_fraction: [-] of sodium chloride, 0 to 0.264 (saturated).
            temp_c: [degC] 10 to 35.

        Returns:
            [g/cm3] within 0.0008 of the handbook table after Rogers and Pitzer and of CoolProp.

        Source: S-LALIBERTE; its own water term differs from ours by less than 0.000004.
        """
        c0, c1, c2, c3, c4 = self.c
        w = mass_fraction
        salt_kg_m3 = (c0 * w + c1) * math.exp(1e-6 * (temp_c + c4) ** 2) / (w + c2 + c3 * temp_c)
        water_kg_m3 = KG_M3_PER_G_CM3 * self.water.density_g_cm3(temp_c)
        return 1.0 / ((1.0 - w) / water_kg_m3 + w / salt_kg_m3) / KG_M3_PER_G_CM3


@dataclass(frozen=True, slots=True, kw_only=True)
class SugarFit:
    """Sucrose in water: a polynomial on top of water."""

    water: WaterFit
    a: tuple[tuple[float, ...], ...]

    def density_g_cm3(self, mass_fraction: float, temp_c: float) -> float:
        """Density of syrup.

        Args:
            mass_fraction: [-] of sucrose, 0 to 0.70.
            temp_c: [degC] 10 to 35.

        Returns:
            [g/cm3] within 0.0003 of published tables.

        Source: S-ICUMSA; its own water term differs from ours by less than 0.000004.
        """
        w, x = mass_fraction, (temp_c - 20.0) / 100.0
        excess = _polynomial((w * _polynomial(row, w) for row in self.a), x)
        return self.water.density_g_cm3(temp_c) + excess / KG_M3_PER_G_CM3


@dataclass(frozen=True, slots=True, kw_only=True)
class EthanolFit:
    """Ethanol in water: the formula of the international alcoholometric tables."""

    a: tuple[float, ...]
    b: tuple[float, ...]
    c: tuple[tuple[float, ...], ...]

    def density_g_cm3(self, mass_fraction: float, temp_c: float) -> float:
        """Density of an ethanol bath or of bought ethanol.

        Args:
            mass_fraction: [-] of ethanol, 0 to 1.
            temp_c: [degC] -20 to 40.

        Returns:
            [g/cm3] within 0.0001 of the alcoholometric tables.

        Source: S-OIML (R 22; the same formula in 76/766/EEC).
        """
        w, x = mass_fraction, temp_c - 20.0
        mixed = (w * _polynomial(row, w) for row in self.c)
        total = _polynomial(self.a, w) + x * _polynomial(self.b, x) + x * _polynomial(mixed, x)
        return total / KG_M3_PER_G_CM3


@dataclass(frozen=True, slots=True, kw_only=True)
class IsopropanolFit:
    """Isopropanol in water: a polynomial on top of water, fitted by us to published rows."""

    water: WaterFit
    a: tuple[float, ...]
    b: tuple[float, ...]

    def density_g_cm3(self, mass_fraction: float, temp_c: float) -> float:
        """Density of an isopropanol bath or of bought isopropanol.

        Args:
            mass_fraction: [-] of isopropanol, 0 to 1.
            temp_c: [degC] 10 to 40; below 20 by extrapolation.

        Returns:
            [g/cm3] to 0.0015 as far as the scatter of the published rows tells; no library confirms it.

        Source: rows of S-ZAREI (20, 50 degC) and S-CHU (25 degC); least squares ours.
        """
        w, x = mass_fraction, (temp_c - 20.0) / 10.0
        excess = w * (_polynomial(self.a, w) + x * _polynomial(self.b, w))
        return self.water.density_g_cm3(temp_c) + excess / KG_M3_PER_G_CM3
