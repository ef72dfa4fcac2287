"""Alcohol by volume and by mass, and the temperature at which it can catch fire."""

from intake.errors import BadInput
from intake.table.identify.bath_facts import BathFacts, BathTable, between
from intake.table.identify.solutions import SolutionFit


def volume_share_of(fit: SolutionFit, mass_fraction: float, at_c: float) -> float:
    """Strength by volume of a mixture of known mass fraction.

    Args:
        fit: density of the mixture.
        mass_fraction: [-] of the alcohol, 0 to 1.
        at_c: [degC] at which the strength is told, 20 by custom.

    Returns:
        [-] volume the alcohol has when alone / volume of the mixture, w rho(w) / rho(1).

    Source: definition of alcoholic strength by volume, S-OIML.
    """
    return mass_fraction * fit.density_g_cm3(mass_fraction, at_c) / fit.density_g_cm3(1.0, at_c)


def mass_fraction_of(fit: SolutionFit, volume_share: float, at_c: float) -> float:
    """Mass fraction of an alcohol bought by its strength by volume; the shrinking on mixing is in `fit`.

    Args:
        fit: density of the mixture.
        volume_share: [-] above 0, up to 1.
        at_c: [degC] at which the strength is told, 20 by custom.

    Returns:
        [-] found by halving; `volume_share_of` gives the share back to 1e-12.

    Raises:
        BadInput: the share is not above 0 or is above 1.
    """
    if not 0.0 < volume_share <= 1.0:
        expected = "a strength above 0 and up to 100 %vol, as the bottle's label says"
        raise BadInput(where="Strength", got=f"{100.0 * volume_share:g} %vol", expected=expected)
    low, high = 0.0, 1.0
    for _ in range(60):
        middle = 0.5 * (low + high)
        if volume_share_of(fit, middle, at_c) < volume_share:
            low = middle
        else:
            high = middle
    return high


def flash_c(table: BathTable, facts: BathFacts, mass_fraction: float) -> float | None:
    """[degC] Flash point of an alcohol bath, from its strength by volume; None for a bath that cannot burn.

    Below the weakest listed strength the flash point of that strength is given, which is the careful side.
    """
    if not facts.is_alcohol or mass_fraction <= 0.0:
        return None
    share = volume_share_of(facts.fit, mass_fraction, table.strength_temp_c.typical)
    return between(facts.flash, share)
