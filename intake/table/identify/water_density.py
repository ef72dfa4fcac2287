"""How dense pure water is."""

from dataclasses import dataclass

KG_M3_PER_G_CM3 = 1000.0


@dataclass(frozen=True, slots=True, kw_only=True)
class WaterFit:
    """Five constants of the recommended water table; `a5` is the greatest density in kg/m3."""

    a1: float
    a2: float
    a3: float
    a4: float
    a5: float

    def density_g_cm3(self, temp_c: float) -> float:
        """Density of air-free water at 101.325 kPa.

        Args:
            temp_c: [degC] 0 to 40.

        Returns:
            [g/cm3] within 0.000001 of the IAPWS-95 formulation from 10 to 35 degC.

        Source: S-TANAKA (Metrologia 38, 2001).
        """
        square = (temp_c + self.a1) ** 2
        drop = square * (temp_c + self.a2) / (self.a3 * (temp_c + self.a4))
        return self.a5 * (1.0 - drop) / KG_M3_PER_G_CM3
