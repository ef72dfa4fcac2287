"""How steep a bath's density is: in its solute, in its temperature, and so in the step of the scale."""

import math

from intake.errors import BadInput
from intake.table.identify.bath_facts import BathFacts
from intake.table.identify.bath_recipe import Recipe
from intake.table.identify.hydrostatic import reading_sd_g

_STEP_SHARE, _STEP_C = 0.001, 0.5


def density_per_percent(facts: BathFacts, mass_fraction: float, temp_c: float) -> float:
    """[g/cm3 per percentage point of mass] How steep the bath is in its solute; 0 for plain water."""
    low, high = max(mass_fraction - _STEP_SHARE, 0.0), min(mass_fraction + _STEP_SHARE, 1.0)
    rise = facts.fit.density_g_cm3(high, temp_c) - facts.fit.density_g_cm3(low, temp_c)
    return rise / (100.0 * (high - low))


def density_per_degree(facts: BathFacts, mass_fraction: float, temp_c: float) -> float:
    """[g/cm3 per degC] How the bath drifts when it warms, by central difference over one degree."""
    above = facts.fit.density_g_cm3(mass_fraction, temp_c + _STEP_C)
    below = facts.fit.density_g_cm3(mass_fraction, temp_c - _STEP_C)
    return (above - below) / (2.0 * _STEP_C)


def mixing_sd_g_cm3(facts: BathFacts, recipe: Recipe, resolution_g: float) -> float:
    """Standard uncertainty of the bath's density from weighing its two parts.

    Args:
        facts: the bath.
        recipe: what is weighed.
        resolution_g: [g] of the scale, 0 or more.

    Returns:
        [g/cm3] sensitivity of the mass fraction to both masses times the slope of the density.

    Raises:
        BadInput: the resolution is negative or not a number.

    Source: JCGM 100 eq. 10.
    """
    if not 0.0 <= resolution_g < math.inf:
        expected = "the smallest step of the scale, such as 1 g"
        raise BadInput(where="Scale resolution", got=f"{resolution_g:g} g", expected=expected)
    bath_g = recipe.solute_g + recipe.water_g
    spread = recipe.strength * math.hypot(recipe.solute_g, recipe.water_g) / bath_g**2
    slope = 100.0 * density_per_percent(facts, recipe.mass_fraction, recipe.temp_c)
    return abs(slope) * spread * reading_sd_g(resolution_g)
