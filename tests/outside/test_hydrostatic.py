"""Weighing in a bath against the `uncertainties` library, Monte Carlo, and worked numbers.

"density check N" is a row of a list that was computed with `uncertainties` 3.2.3, numpy and scipy before this
code existed; ISO 1183-1 itself was read in scope only, its formula is Archimedes' principle.
"""

import math

import numpy as np
import pytest
from scipy import stats
from uncertainties import ufloat

from intake.table.identify.hydrostatic import (
    cup_density,
    hydrostatic_density,
    sample_needed_g,
    sinker_density,
    without_air,
)

WATER_20C = 0.99821


def reading(value, resolution_g):
    return ufloat(value, resolution_g / math.sqrt(3.0))


def bath_of(g_cm3, sd_g_cm3):
    return ufloat(g_cm3, sd_g_cm3) if sd_g_cm3 else g_cm3


@pytest.mark.parametrize(
    ("dry_g", "hanging_g", "resolution_g", "bath", "bath_sd"),
    [
        (25.0, 6.9, 0.1, WATER_20C, 0.0),
        (62.1, -2.6, 0.1, WATER_20C, 0.0003),
        (20.0, -1.0, 1.0, WATER_20C, 0.0),
        (20.0, 0.37, 0.1, 0.93, 0.0015),
        (200.0, -10.0, 1.0, WATER_20C, 0.002),
        (5.0, 1.0, 0.01, 1.08, 0.001),
    ],
    ids=lambda v: f"uncertainties {v}",
)
def test_hanging_density_and_its_doubt_agree_with_uncertainties(
    dry_g, hanging_g, resolution_g, bath, bath_sd
):
    dry, hanging = reading(dry_g, resolution_g), reading(hanging_g, resolution_g)
    wanted = dry * bath_of(bath, bath_sd) / (dry - hanging)
    found = hydrostatic_density(dry_g, hanging_g, bath, resolution_g, bath_sd)
    assert found.density_g_cm3 == pytest.approx(wanted.nominal_value, rel=1e-12)
    assert found.sd_g_cm3 == pytest.approx(wanted.std_dev, rel=1e-9)


@pytest.mark.parametrize(
    ("dry_g", "gain_g", "resolution_g", "bath", "bath_sd", "density", "sd"),
    [
        pytest.param(20.0, 21.0, 0.1, WATER_20C, 0.0, 0.9507, 0.0038, id="density check 4, uncertainties"),
        pytest.param(20.0, 21.0, 1.0, WATER_20C, 0.0, 0.951, 0.038, id="density check 5, uncertainties"),
        pytest.param(200.0, 210.0, 1.0, WATER_20C, 0.0, 0.9507, 0.0038, id="density check 6, uncertainties"),
        pytest.param(20.0, 19.63, 0.1, 0.9300, 0.0015, 0.9475, 0.0042, id="density check 8, uncertainties"),
    ],
)
def test_cup_density_gives_the_worked_numbers(dry_g, gain_g, resolution_g, bath, bath_sd, density, sd):
    found = cup_density(dry_g, gain_g, bath, resolution_g, bath_sd)
    wanted = reading(dry_g, resolution_g) * bath_of(bath, bath_sd) / reading(gain_g, resolution_g)
    assert found.density_g_cm3 == pytest.approx(density, abs=0.0005 if sd > 0.01 else 0.00006)
    assert found.sd_g_cm3 == pytest.approx(sd, rel=0.02)
    assert found.sd_g_cm3 == pytest.approx(wanted.std_dev, rel=1e-9)


def test_density_check_1_hanging_sinker_on_a_tenth_gram_scale():
    found = hydrostatic_density(25.0, 6.9, WATER_20C, 0.1, 0.0)
    assert found.density_g_cm3 == pytest.approx(1.3787, abs=0.00006)
    assert found.sd_g_cm3 == pytest.approx(0.0046, abs=0.00006)


def test_density_check_2_monte_carlo_after_gum_supplement_1():
    draw = np.random.default_rng(1183)
    dry = 25.0 + draw.uniform(-0.1, 0.1, 400_000)
    hanging = 6.9 + draw.uniform(-0.1, 0.1, 400_000)
    drawn = dry * WATER_20C / (dry - hanging)
    found = hydrostatic_density(25.0, 6.9, WATER_20C, 0.1, 0.0)
    assert found.density_g_cm3 == pytest.approx(float(drawn.mean()), abs=0.0002)
    assert found.sd_g_cm3 == pytest.approx(float(drawn.std()), rel=0.01)
    low, high = np.percentile(drawn, [2.5, 97.5])
    assert (low, high) == (pytest.approx(1.3707, abs=0.0003), pytest.approx(1.3869, abs=0.0003))


def test_density_check_3_air_buoyancy():
    wet = hydrostatic_density(25.0, 6.9, WATER_20C, 0.1, 0.0)
    found = without_air(wet, WATER_20C, 0.0012)
    closed_form = (25.0 * WATER_20C - 6.9 * 0.0012) / (25.0 - 6.9)
    assert found.density_g_cm3 == pytest.approx(closed_form, rel=1e-12)
    assert found.density_g_cm3 == pytest.approx(1.37828, abs=0.00001)
    assert found.density_g_cm3 - wet.density_g_cm3 == pytest.approx(-0.00046, abs=0.00001)


def test_density_check_7_floater_with_a_sinker_weight():
    found = sinker_density(12.0, 45.0, 44.35, WATER_20C, 0.1, 0.0)
    dry, alone, both = reading(12.0, 0.1), reading(45.0, 0.1), reading(44.35, 0.1)
    wanted = dry * WATER_20C / (dry + alone - both)
    assert found.density_g_cm3 == pytest.approx(0.9469, abs=0.00006)
    assert found.sd_g_cm3 == pytest.approx(0.0061, abs=0.00005)
    assert found.sd_g_cm3 == pytest.approx(wanted.std_dev, rel=1e-9)


@pytest.mark.parametrize(
    ("density", "sd", "resolution_g", "mass_g"),
    [
        pytest.param(0.95, 0.005, 0.1, 15, id="density check 19, closed form, 0.1 g scale"),
        pytest.param(0.95, 0.005, 1.0, 152, id="density check 19, closed form, 1 g scale"),
        pytest.param(1.05, 0.010, 0.1, 9, id="density check 20, closed form, 0.1 g scale"),
        pytest.param(1.05, 0.010, 1.0, 88, id="density check 20, closed form, 1 g scale"),
    ],
)
def test_sample_needed_gives_the_worked_numbers(density, sd, resolution_g, mass_g):
    assert sample_needed_g(density, WATER_20C, resolution_g, sd) == pytest.approx(mass_g, abs=0.6)


def test_density_check_28_a_cup_reading_of_pe_hd_is_surely_below_0_97():
    found = cup_density(20.0, 21.0, WATER_20C, 0.1, 0.0)
    chance = stats.norm.cdf((0.97 - found.density_g_cm3) / found.sd_g_cm3)
    assert chance == pytest.approx(1.0, abs=0.00005)


@pytest.mark.parametrize(
    ("material", "solid_g_cm3"),
    [("PET", 1.38), ("PS", 1.05), ("PVC", 1.40)],
    ids=lambda v: f"density check 17, closed form {v}",
)
def test_voids_that_just_float_a_sinker_read_as_the_density_of_water(material, solid_g_cm3):
    volume_cm3 = 10.0
    voids = {"PET": 0.277, "PS": 0.049, "PVC": 0.287}[material]
    dry_g = solid_g_cm3 * (1.0 - voids) * volume_cm3
    found = hydrostatic_density(dry_g, dry_g - WATER_20C * volume_cm3, WATER_20C, 0.01, 0.0)
    assert found.density_g_cm3 == pytest.approx(WATER_20C, abs=0.001)


def test_density_check_9_a_clinging_bubble_reads_light():
    dry_g, bubble_cm3 = 2.0, 0.05
    displaced_g = (dry_g / 0.955 + bubble_cm3) * WATER_20C
    found = hydrostatic_density(dry_g, dry_g - displaced_g, WATER_20C, 0.01, 0.0)
    assert found.density_g_cm3 == pytest.approx(0.9327, abs=0.00006)
