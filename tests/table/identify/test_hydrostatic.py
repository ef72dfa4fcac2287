"""Weighing a piece in a bath: what must hold for every reading, and what is refused."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from intake.errors import BadInput
from intake.table.identify.evidence import Density
from intake.table.identify.hydrostatic import (
    cup_density,
    hydrostatic_density,
    sample_needed_g,
    sinker_density,
    without_air,
)

densities = st.floats(0.8, 1.6)
masses = st.floats(5.0, 500.0)
baths = st.floats(0.85, 1.33)


@settings(max_examples=60)
@given(density=densities, dry_g=masses, bath=baths)
def test_three_ways_of_weighing_agree(density, dry_g, bath):
    displaced_g = dry_g / density * bath
    hung = hydrostatic_density(dry_g, dry_g - displaced_g, bath, 0.1, 0.001)
    cup = cup_density(dry_g, displaced_g, bath, 0.1, 0.001)
    sunk = sinker_density(dry_g, 50.0, 50.0 + dry_g - displaced_g, bath, 0.1, 0.001)
    for found in (hung, cup, sunk):
        assert found.density_g_cm3 == pytest.approx(density, rel=1e-9)
    assert sunk.sd_g_cm3 > hung.sd_g_cm3


@settings(max_examples=60)
@given(density=densities, dry_g=masses, step=st.floats(0.01, 0.5), more=st.floats(1.1, 5.0))
def test_a_coarser_scale_or_bath_never_makes_the_answer_surer(density, dry_g, step, more):
    hanging_g = dry_g - dry_g / density
    fine = hydrostatic_density(dry_g, hanging_g, 1.0, step, 0.001)
    coarse = hydrostatic_density(dry_g, hanging_g, 1.0, step * more, 0.001)
    vague = hydrostatic_density(dry_g, hanging_g, 1.0, step, 0.001 * more)
    assert fine.sd_g_cm3 < coarse.sd_g_cm3
    assert fine.sd_g_cm3 < vague.sd_g_cm3


@settings(max_examples=40)
@given(density=densities, sd=st.floats(0.001, 0.02), resolution=st.floats(0.01, 1.0))
def test_the_sample_needed_gives_the_wanted_doubt(density, sd, resolution):
    dry_g = sample_needed_g(density, 0.99821, resolution, sd)
    found = cup_density(dry_g, dry_g * 0.99821 / density, 0.99821, resolution, 0.0)
    assert found.sd_g_cm3 == pytest.approx(sd, rel=1e-9)


@settings(max_examples=40)
@given(density=densities, bath=baths)
def test_air_matters_nothing_at_the_density_of_the_bath_and_pulls_toward_it_elsewhere(density, bath):
    wet = Density(density_g_cm3=density, sd_g_cm3=0.004)
    dry = without_air(wet, bath, 0.0012)
    assert abs(dry.density_g_cm3 - bath) <= abs(density - bath)
    assert without_air(Density(density_g_cm3=bath, sd_g_cm3=0.0), bath, 0.0012).density_g_cm3 == (
        pytest.approx(bath, abs=1e-12)
    )


def test_a_piece_that_floats_reads_negative_and_is_lighter_than_the_bath():
    found = hydrostatic_density(62.1, -2.6, 0.99821, 0.1, 0.0003)
    assert found.density_g_cm3 == pytest.approx(62.1 * 0.99821 / 64.7)
    assert 0.9560 < found.density_g_cm3 < 0.9600


def test_a_piece_that_reads_nothing_has_the_density_of_the_bath():
    assert hydrostatic_density(40.0, 0.0, 1.05, 0.1, 0.0).density_g_cm3 == pytest.approx(1.05)


@pytest.mark.parametrize(
    ("values", "where"),
    [
        pytest.param((0.0, 0.0, 1.0, 0.1, 0.0), "Dry mass", id="no mass"),
        pytest.param((-5.0, -6.0, 1.0, 0.1, 0.0), "Dry mass", id="negative mass"),
        pytest.param((math.nan, 1.0, 1.0, 0.1, 0.0), "Dry mass", id="NaN mass"),
        pytest.param((math.inf, 1.0, 1.0, 0.1, 0.0), "Dry mass", id="infinite mass"),
        pytest.param((10.0, math.nan, 1.0, 0.1, 0.0), "Weighing in the bath", id="NaN hanging"),
        pytest.param((10.0, -math.inf, 1.0, 0.1, 0.0), "Weighing in the bath", id="infinite hanging"),
        pytest.param((10.0, 10.0, 1.0, 0.1, 0.0), "Weighing in the bath", id="nothing displaced"),
        pytest.param((10.0, 12.0, 1.0, 0.1, 0.0), "Weighing in the bath", id="heavier in the bath"),
        pytest.param((1.0, 0.2, 1.0, 1.0, 0.0), "Weighing in the bath", id="less than a step of the scale"),
        pytest.param((100.0, 80.0, 1.0, 0.1, 0.0), "Density by weighing", id="denser than any plastic"),
        pytest.param((0.1, -99.0, 1.0, 0.1, 0.0), "Density by weighing", id="lighter than any foam"),
        pytest.param((10.0, 1.0, 0.0, 0.1, 0.0), "Bath density", id="no bath"),
        pytest.param((10.0, 1.0, 13.6, 0.1, 0.0), "Bath density", id="bath of mercury"),
        pytest.param((10.0, 1.0, math.nan, 0.1, 0.0), "Bath density", id="NaN bath"),
        pytest.param((10.0, 1.0, 1.0, -0.1, 0.0), "Scale resolution", id="negative step"),
        pytest.param((10.0, 1.0, 1.0, math.nan, 0.0), "Scale resolution", id="NaN step"),
        pytest.param((10.0, 1.0, 1.0, 0.1, -0.1), "Doubt of the bath", id="negative doubt"),
        pytest.param((10.0, 1.0, 1.0, 0.1, math.inf), "Doubt of the bath", id="infinite doubt"),
    ],
)
def test_an_impossible_weighing_is_refused_with_its_place(values, where):
    with pytest.raises(BadInput) as told:
        hydrostatic_density(*values)
    assert told.value.where == where
    assert told.value.exit_code == 2


@pytest.mark.parametrize("gain_g", [0.0, -3.0, math.nan, math.inf])
def test_a_cup_that_gains_nothing_is_refused(gain_g):
    with pytest.raises(BadInput, match="Weighing in the bath"):
        cup_density(10.0, gain_g, 1.0, 0.1, 0.0)


def test_a_sinker_that_gains_from_a_floater_is_refused():
    with pytest.raises(BadInput, match="with the weight"):
        sinker_density(10.0, 40.0, 55.0, 1.0, 0.1, 0.0)


@pytest.mark.parametrize("air", [-0.001, 1.5, math.nan])
def test_impossible_air_is_refused(air):
    with pytest.raises(BadInput, match="Density of air"):
        without_air(Density(density_g_cm3=1.0, sd_g_cm3=0.0), 1.0, air)
