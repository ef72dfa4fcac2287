"""What is known about each float bath: its correlation, what dissolves, and when it can burn."""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from itertools import pairwise

from intake.errors import BadInput
from intake.table.identify.solutions import SolutionFit
from intake.table.resins import Figure, ResinId


class Solute(StrEnum):
    """What is dissolved in a bath, in the order in which baths are proposed."""

    WATER = "water"
    SALT = "salt"
    SUGAR = "sugar"
    ETHANOL = "ethanol"
    ISOPROPANOL = "isopropanol"


@dataclass(frozen=True, slots=True, kw_only=True)
class BathFacts:
    """One kind of bath.

    Attributes:
        solute: what is dissolved.
        fit: its density.
        doubt_g_cm3: [g/cm3] how far the correlation may be off; `high` is the largest deviation seen.
        saturation: ([degC], [-] mass fraction) pairs, rising in temperature; empty where all mixes.
        flash: ([-] share of volume at 20 degC, [degC] flash point) pairs, rising in share; empty for no fire.
        batch_cm3: [cm3] volume proposed when nobody says one.
        cautions: codes that always go with it, the most important first.
    """

    solute: Solute
    fit: SolutionFit
    doubt_g_cm3: Figure
    saturation: tuple[tuple[float, Figure], ...] = ()
    flash: tuple[tuple[float, Figure], ...] = ()
    batch_cm3: float
    cautions: tuple[str, ...]

    @property
    def is_alcohol(self) -> bool:
        """True where the bath can burn and its solute is bought already diluted."""
        return bool(self.flash)

    def most_dissolved(self, temp_c: float) -> float:
        """[-] Mass fraction of a saturated solution at `temp_c` [degC]; 1 where everything mixes."""
        if self.solute is Solute.WATER:
            return 0.0
        return between(self.saturation, temp_c) if self.saturation else 1.0


@dataclass(frozen=True, slots=True, kw_only=True)
class BathTable:
    """All baths in the order of proposal, with the limits that hold for every one.

    Attributes:
        rows: by solute.
        foams: [g/cm3] density of the resins that only come foamed.
        temp_c: [degC] range over which the correlations were compared with the outside.
        flash_margin_c: [degC] no alcohol bath is proposed this close to its flash point.
        alcohol_volume_cm3: [cm3] the largest alcohol bath.
        reading_g_cm3: [g/cm3] standard deviation of mixing and reading a bath at the table.
        strength_temp_c: [degC] at which a strength by volume is told.
        air_g_cm3: [g/cm3] density of air, for the buoyancy correction.
    """

    rows: Mapping[Solute, BathFacts]
    foams: Mapping[ResinId, Figure]
    temp_c: Figure
    flash_margin_c: Figure
    alcohol_volume_cm3: Figure
    reading_g_cm3: Figure
    strength_temp_c: Figure
    air_g_cm3: Figure

    def water_g_cm3(self, temp_c: float) -> float:
        """[g/cm3] Density of plain water at `temp_c` [degC].

        Raises:
            BadInput: outside the range of the correlations.
        """
        return self.rows[Solute.WATER].fit.density_g_cm3(0.0, self.checked_temp_c(temp_c))

    def checked_temp_c(self, temp_c: float, where: str = "Bath temperature") -> float:
        """[degC] The temperature itself.

        Raises:
            BadInput: outside the range over which the correlations were checked, or not a number.
        """
        if not self.temp_c.low <= temp_c <= self.temp_c.high:
            span = f"a temperature from {self.temp_c.low:g} to {self.temp_c.high:g} °C"
            raise BadInput(where=where, got=f"{temp_c:g} °C", expected=span)
        return temp_c


def between(points: tuple[tuple[float, Figure], ...], x: float) -> float:
    """Typical value at `x`, straight lines between the points, the end points' values beyond them."""
    if x <= points[0][0]:
        return points[0][1].typical
    for (x0, y0), (x1, y1) in pairwise(points):
        if x <= x1:
            return y0.typical + (y1.typical - y0.typical) * (x - x0) / (x1 - x0)
    return points[-1][1].typical
