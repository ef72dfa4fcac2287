"""Which resins a bath parts: computed from the resin table's densities, never listed."""

from collections.abc import Mapping
from dataclasses import dataclass

from intake.table.resins import OTHER, Figure, ResinId, ResinTable


@dataclass(frozen=True, slots=True, kw_only=True)
class Parting:
    """What an unfilled piece of each judged resin does in a bath.

    Attributes:
        floats: resins whose whole range is lighter than the bath.
        sinks: resins whose whole range is denser.
        either: resins the bath stands within; it tells nothing about them.
    """

    floats: tuple[ResinId, ...]
    sinks: tuple[ResinId, ...]
    either: tuple[ResinId, ...]

    @property
    def pairs(self) -> tuple[tuple[ResinId, ResinId], ...]:
        """(floats, sinks) for every pair of resins that the bath parts."""
        return tuple((light, heavy) for light in self.floats for heavy in self.sinks)


def parting(
    resins: ResinTable, foams: Mapping[ResinId, Figure], bath_g_cm3: float, margin_g_cm3: float
) -> Parting:
    """Sort the judged resins by what they do in a bath.

    Args:
        resins: [g/cm3] densities of the solid resins, low to high, at 23 degC.
        foams: [g/cm3] densities of the resins that only come foamed; they stand before the solid ones.
        bath_g_cm3: [g/cm3] density of the bath.
        margin_g_cm3: [g/cm3] doubt of mixing and reading; a resin must clear it with its whole range.

    Returns:
        The three groups in table order.

    Holds for: unfilled pieces freed of bubbles, solid but for `foams`.
    """
    floats, sinks, either = [], [], []
    for resin in resins.judged:
        density = foams.get(resin, resins.rows[resin].density_g_cm3) if resin != OTHER else None
        if density is None:
            continue
        if density.high < bath_g_cm3 - margin_g_cm3:
            floats.append(resin)
        elif density.low > bath_g_cm3 + margin_g_cm3:
            sinks.append(resin)
        else:
            either.append(resin)
    return Parting(floats=tuple(floats), sinks=tuple(sinks), either=tuple(either))
