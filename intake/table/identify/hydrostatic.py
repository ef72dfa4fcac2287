"""Density of a piece from weighing it in air and in a bath, with its standard uncertainty.

Every reading of a scale with resolution `a` is taken to lie within plus or minus `a` of the truth, all
values equally likely, so u = a / sqrt(3) (GUM 4.3.7). The whole digit, not half of it, because a reading is a
difference of two displays (the scale was tared) and a kitchen scale is seldom truer than its last digit.
Source: ISO 1183-1 method A (S-ISO1183; formula from memory, it is Archimedes' principle); JCGM 100, 5.1.
"""

import math

from intake.errors import BadInput
from intake.table.identify.evidence import Density

LIGHTEST_G_CM3, HEAVIEST_G_CM3 = 0.01, 3.0
"""[g/cm3] foam and heavily filled plastic lie well within; anything beyond is a slip."""
LIGHTEST_BATH_G_CM3, HEAVIEST_BATH_G_CM3 = 0.6, 2.5
"""[g/cm3] no liquid at a table lies beyond."""


def reading_sd_g(resolution_g: float) -> float:
    """[g] Standard uncertainty of one reading of a scale with that resolution [g], 0 or more."""
    return resolution_g / math.sqrt(3.0)


def hydrostatic_density(
    dry_g: float, hanging_g: float, bath_g_cm3: float, resolution_g: float, bath_sd_g_cm3: float
) -> Density:
    """Density of a piece hung or held under in a bath.

    Args:
        dry_g: [g] mass in air, > 0.
        hanging_g: [g] apparent mass under the surface, below `dry_g`; negative for a floater held down.
        bath_g_cm3: [g/cm3] density of the bath at its own temperature, 0.6 to 2.5.
        resolution_g: [g] of the scale, 0 or more.
        bath_sd_g_cm3: [g/cm3] standard uncertainty of the bath, 0 or more.

    Returns:
        [g/cm3] dry * bath / (dry - hanging), with its standard uncertainty.

    Raises:
        BadInput: a value is impossible, or the piece displaces less than the scale can tell.

    Source: ISO 1183-1 method A; JCGM 100 eq. 10.
    """
    _check(dry_g, bath_g_cm3, resolution_g, bath_sd_g_cm3)
    displaced_g = _displaced(dry_g - hanging_g, f"{hanging_g:g} g hanging, {dry_g:g} g dry", resolution_g)
    per_dry = -bath_g_cm3 * hanging_g / displaced_g**2
    per_hanging = bath_g_cm3 * dry_g / displaced_g**2
    sd_g = reading_sd_g(resolution_g)
    sd = math.hypot(per_dry * sd_g, per_hanging * sd_g, dry_g / displaced_g * bath_sd_g_cm3)
    return _possible(dry_g * bath_g_cm3 / displaced_g, sd)


def cup_density(
    dry_g: float, cup_gain_g: float, bath_g_cm3: float, resolution_g: float, bath_sd_g_cm3: float
) -> Density:
    """Density from a tared cup of bath on the scale, the piece held fully under and clear of the walls.

    Args:
        dry_g: [g] mass in air, > 0.
        cup_gain_g: [g] what the scale reads with the piece under: the mass of bath it displaces, > 0.
        bath_g_cm3: [g/cm3] density of the bath, 0.6 to 2.5.
        resolution_g: [g] of the scale, 0 or more.
        bath_sd_g_cm3: [g/cm3] standard uncertainty of the bath, 0 or more.

    Returns:
        [g/cm3] dry * bath / gain; one formula for floaters and sinkers.

    Raises:
        BadInput: a value is impossible, or the piece displaces less than the scale can tell.

    Source: Archimedes' principle; JCGM 100 eq. 10.
    """
    _check(dry_g, bath_g_cm3, resolution_g, bath_sd_g_cm3)
    displaced_g = _displaced(cup_gain_g, f"{cup_gain_g:g} g", resolution_g)
    density = dry_g * bath_g_cm3 / displaced_g
    sd_g = reading_sd_g(resolution_g)
    share = math.hypot(sd_g / dry_g, sd_g / displaced_g, bath_sd_g_cm3 / bath_g_cm3)
    return _possible(density, density * share)


def sinker_density(
    dry_g: float,
    sinker_g: float,
    both_g: float,
    bath_g_cm3: float,
    resolution_g: float,
    bath_sd_g_cm3: float,
) -> Density:
    """Density of a floater pulled under by a weight that hangs in the bath too.

    Args:
        dry_g: [g] mass of the piece in air, > 0.
        sinker_g: [g] apparent mass of the weight alone in the bath.
        both_g: [g] apparent mass of weight and piece together in the bath.
        bath_g_cm3: [g/cm3] density of the bath, 0.6 to 2.5.
        resolution_g: [g] of the scale, 0 or more.
        bath_sd_g_cm3: [g/cm3] standard uncertainty of the bath, 0 or more.

    Returns:
        [g/cm3] dry * bath / (dry + sinker - both), three independent readings.

    Raises:
        BadInput: a value is impossible, or the piece displaces less than the scale can tell.

    Source: ISO 1183-1 method A with a sinker (from memory); JCGM 100 eq. 10.
    """
    _check(dry_g, bath_g_cm3, resolution_g, bath_sd_g_cm3)
    shown = f"{both_g:g} g with the weight, {sinker_g:g} g the weight alone"
    displaced_g = _displaced(dry_g + sinker_g - both_g, shown, resolution_g)
    sd_g = reading_sd_g(resolution_g)
    per_dry = bath_g_cm3 * (displaced_g - dry_g) / displaced_g**2
    per_hung = bath_g_cm3 * dry_g / displaced_g**2
    sd = math.hypot(
        per_dry * sd_g, per_hung * sd_g, per_hung * sd_g, dry_g / displaced_g * bath_sd_g_cm3
    )  # fmt: skip
    return _possible(dry_g * bath_g_cm3 / displaced_g, sd)


def without_air(density: Density, bath_g_cm3: float, air_g_cm3: float) -> Density:
    """Take the buoyancy of air out of a weighed density.

    Args:
        density: as the weighing functions give it.
        bath_g_cm3: [g/cm3] density of the bath, 0.6 to 2.5.
        air_g_cm3: [g/cm3] about 0.0012; the change is nil at the bath's density, -0.0005 for PET in water.

    Returns:
        [g/cm3] density * (bath - air) / bath + air; the uncertainty shrinks by the same factor.

    Raises:
        BadInput: air is not lighter than the bath, or not a number.

    Source: ISO 1183-1, air buoyancy (from memory).
    """
    if not 0.0 <= air_g_cm3 < bath_g_cm3:
        expected = "a density of air from 0 to 0.002 g/cm3"
        raise BadInput(where="Density of air", got=f"{air_g_cm3:g} g/cm3", expected=expected)
    factor = (bath_g_cm3 - air_g_cm3) / bath_g_cm3
    return Density(
        density_g_cm3=density.density_g_cm3 * factor + air_g_cm3, sd_g_cm3=density.sd_g_cm3 * factor
    )


def sample_needed_g(density_g_cm3: float, bath_g_cm3: float, resolution_g: float, sd_g_cm3: float) -> float:
    """How much plastic to weigh together so that the cup method is good enough.

    Args:
        density_g_cm3: [g/cm3] roughly expected, > 0.
        bath_g_cm3: [g/cm3] density of the bath, > 0.
        resolution_g: [g] of the scale, > 0.
        sd_g_cm3: [g/cm3] wanted standard uncertainty, > 0.

    Returns:
        [g] dry mass; a bath known without doubt is assumed.

    Source: the uncertainty of `cup_density`, solved for the mass.
    """
    ratio = density_g_cm3 / bath_g_cm3
    return reading_sd_g(resolution_g) * math.hypot(1.0, ratio) * density_g_cm3 / sd_g_cm3


def _check(dry_g: float, bath_g_cm3: float, resolution_g: float, bath_sd_g_cm3: float) -> None:
    """Refuse readings that no table can give; NaN fails every comparison and so is refused too."""
    if not 0.0 < dry_g < math.inf:
        raise BadInput(where="Dry mass", got=f"{dry_g:g} g", expected="a mass above 0 g, such as 62.1 g")
    if not LIGHTEST_BATH_G_CM3 <= bath_g_cm3 <= HEAVIEST_BATH_G_CM3:
        expected = f"a density from {LIGHTEST_BATH_G_CM3:g} to {HEAVIEST_BATH_G_CM3:g} g/cm3"
        raise BadInput(where="Bath density", got=f"{bath_g_cm3:g} g/cm3", expected=expected)
    if not 0.0 <= resolution_g < math.inf:
        expected = "the smallest step of the scale, such as 0.1 g"
        raise BadInput(where="Scale resolution", got=f"{resolution_g:g} g", expected=expected)
    if not 0.0 <= bath_sd_g_cm3 < math.inf:
        expected = "a doubt of 0 or more, such as 0.001 g/cm3"
        raise BadInput(where="Doubt of the bath", got=f"{bath_sd_g_cm3:g} g/cm3", expected=expected)


def _displaced(displaced_g: float, shown: str, resolution_g: float) -> float:
    """[g] The mass of bath that the piece pushed aside, when the scale can tell it from nothing."""
    if not 0.0 < displaced_g < math.inf:
        expected = "an apparent mass under the surface below the dry mass: a piece always pushes bath aside"
        raise BadInput(where="Weighing in the bath", got=shown, expected=expected)
    if displaced_g <= resolution_g:
        expected = (
            f"a piece that pushes aside more than one step of the scale ({resolution_g:g} g): "
            "weigh several like pieces together or use a finer scale"
        )
        raise BadInput(where="Weighing in the bath", got=shown, expected=expected)
    return displaced_g


def _possible(density_g_cm3: float, sd_g_cm3: float) -> Density:
    """The result, when a plastic can have it."""
    if not LIGHTEST_G_CM3 <= density_g_cm3 <= HEAVIEST_G_CM3:
        expected = (
            f"readings that give {LIGHTEST_G_CM3:g} to {HEAVIEST_G_CM3:g} g/cm3: check that the dry mass is "
            "of the same piece, that no air clings to it and that it hangs free"
        )
        raise BadInput(where="Density by weighing", got=f"{density_g_cm3:.4g} g/cm3", expected=expected)
    return Density(density_g_cm3=density_g_cm3, sd_g_cm3=sd_g_cm3)
