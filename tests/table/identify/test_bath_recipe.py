"""Recipes of float baths: there and back, how steep, and what cannot be mixed."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from intake.errors import BadInput
from intake.handbook.baths import read_baths
from intake.table.identify.alcohol import mass_fraction_of, volume_share_of
from intake.table.identify.bath_facts import Solute
from intake.table.identify.bath_recipe import (
    Strength,
    mass_fraction_for,
    reach_g_cm3,
    recipe_for,
    recipe_made,
)
from intake.table.identify.bath_slopes import density_per_degree, density_per_percent, mixing_sd_g_cm3
from intake.table.identify.baths import proposed_solute

BATHS = read_baths()
ALCOHOLS = (Solute.ETHANOL, Solute.ISOPROPANOL)
SOLIDS = (Solute.SALT, Solute.SUGAR)
BOUGHT = Strength(share=0.96)
temps = st.floats(10.0, 35.0)


@settings(max_examples=80)
@given(solute=st.sampled_from(SOLIDS), at=st.floats(0.0, 1.0), temp_c=temps, volume=st.floats(100.0, 5000.0))
def test_a_recipe_gives_its_density_back(solute, at, temp_c, volume):
    low, high = reach_g_cm3(BATHS.rows[solute], temp_c, 1.0)
    wanted = low + at * (high - low)
    recipe = recipe_for(BATHS, solute, wanted, temp_c=temp_c, volume_cm3=volume)
    back = recipe_made(BATHS, solute, solute_g=recipe.solute_g, water_g=recipe.water_g, temp_c=temp_c)
    assert back.density_g_cm3 == pytest.approx(wanted, abs=1e-8)
    assert back.mass_fraction == pytest.approx(recipe.mass_fraction, abs=1e-8)
    assert recipe.volume_cm3 == pytest.approx(volume, rel=1e-9)


@settings(max_examples=80)
@given(solute=st.sampled_from(ALCOHOLS), at=st.floats(0.0, 1.0), temp_c=temps, share=st.floats(0.3, 1.0))
def test_an_alcohol_recipe_gives_its_density_back_at_any_strength(solute, at, temp_c, share):
    facts, strength = BATHS.rows[solute], Strength(share=share)
    bought = mass_fraction_of(facts.fit, share, 20.0)
    low, high = reach_g_cm3(facts, temp_c, bought)
    wanted = low + at * (high - low)
    recipe = recipe_for(BATHS, solute, wanted, temp_c=temp_c, volume_cm3=250.0, strength=strength)
    back = recipe_made(
        BATHS, solute, solute_g=recipe.solute_g, water_g=recipe.water_g, temp_c=temp_c, strength=strength
    )
    assert back.density_g_cm3 == pytest.approx(wanted, abs=1e-8)
    assert recipe.strength == pytest.approx(bought)


@settings(max_examples=60)
@given(solute=st.sampled_from(ALCOHOLS), share=st.floats(0.001, 1.0))
def test_strength_by_volume_goes_to_mass_and_back(solute, share):
    fit = BATHS.rows[solute].fit
    mass = mass_fraction_of(fit, share, 20.0)
    assert volume_share_of(fit, mass, 20.0) == pytest.approx(share, abs=1e-9)
    assert mass <= share + 1e-12


@settings(max_examples=60)
@given(solute=st.sampled_from(SOLIDS), temp_c=temps, a=st.floats(0, 1), b=st.floats(0, 1))
def test_more_salt_or_sugar_is_never_lighter(solute, temp_c, a, b):
    facts = BATHS.rows[solute]
    most = facts.most_dissolved(temp_c)
    light, heavy = sorted((a * most, b * most))
    assert facts.fit.density_g_cm3(light, temp_c) <= facts.fit.density_g_cm3(heavy, temp_c)


@settings(max_examples=60)
@given(solute=st.sampled_from(ALCOHOLS), temp_c=temps, a=st.floats(0, 1), b=st.floats(0, 1))
def test_more_alcohol_is_never_denser(solute, temp_c, a, b):
    fit = BATHS.rows[solute].fit
    assert fit.density_g_cm3(max(a, b), temp_c) <= fit.density_g_cm3(min(a, b), temp_c)


@pytest.mark.parametrize("solute", list(Solute))
@pytest.mark.parametrize("temp_c", [10.0, 20.0, 35.0])
def test_every_bath_returns_to_water_when_nothing_is_in_it(solute, temp_c):
    empty = BATHS.rows[solute].fit.density_g_cm3(0.0, temp_c)
    assert empty == pytest.approx(BATHS.water_g_cm3(temp_c), abs=0.00002)


@pytest.mark.parametrize("solute", list(Solute))
def test_every_bath_gets_lighter_when_it_warms(solute):
    share = 0.0 if solute is Solute.WATER else 0.2
    facts = BATHS.rows[solute]
    slope = density_per_degree(facts, share, 20.0)
    by_hand = facts.fit.density_g_cm3(share, 20.5) - facts.fit.density_g_cm3(share, 19.5)
    assert slope == pytest.approx(by_hand)
    assert -0.001 < slope < -0.0001


@pytest.mark.parametrize(
    ("solute", "share", "sign"),
    [("salt", 0.1, 1), ("sugar", 0.3, 1), ("ethanol", 0.4, -1), ("isopropanol", 0.4, -1)],
)
def test_the_slope_in_the_solute_has_its_sign_and_size(solute, share, sign):
    slope = density_per_percent(BATHS.rows[Solute(solute)], share, 20.0)
    assert 0.001 < sign * slope < 0.009
    assert density_per_percent(BATHS.rows[Solute.WATER], 0.0, 20.0) == 0.0


@pytest.mark.parametrize("share", [0.0, 1.0])
def test_the_slope_is_finite_at_both_ends(share):
    assert -0.01 < density_per_percent(BATHS.rows[Solute.ETHANOL], share, 20.0) < 0.0


@pytest.mark.parametrize("solute", list(Solute))
@pytest.mark.parametrize("density", [0.5, 2.0, math.nan, math.inf, -math.inf])
def test_no_bath_can_have_an_impossible_density(solute, density):
    with pytest.raises(BadInput, match=r"a density from \d"):
        mass_fraction_for(BATHS.rows[solute], density, 20.0)


@pytest.mark.parametrize(
    ("solute", "density", "strength"),
    [
        pytest.param("salt", 1.21, None, id="more than dissolves"),
        pytest.param("sugar", 1.34, None, id="more sugar than dissolves"),
        pytest.param("salt", 0.99, None, id="salt cannot lighten water"),
        pytest.param("ethanol", 1.01, BOUGHT, id="alcohol cannot weigh water down"),
        pytest.param("ethanol", 0.86, Strength(share=0.70), id="lighter than the bought ethanol"),
        pytest.param("isopropanol", 0.86, Strength(share=0.70), id="lighter than the bought isopropanol"),
        pytest.param("water", 1.01, None, id="water is water"),
    ],
)
def test_a_bath_its_solute_does_not_allow_is_refused_with_the_possible_range(solute, density, strength):
    with pytest.raises(BadInput) as told:
        recipe_for(BATHS, Solute(solute), density, temp_c=20.0, volume_cm3=250.0, strength=strength)
    low, high = (float(x) for x in told.value.expected.split("from ")[1].split(" g/cm3")[0].split(" to "))
    assert not low <= density <= high
    for reachable in (low, high):
        recipe_for(BATHS, Solute(solute), reachable, temp_c=20.0, volume_cm3=250.0, strength=strength)


def test_salt_saturates_where_the_handbook_says():
    # CRC handbook, from memory: 26.4 % by mass at 20 degC, 35.9 g in 100 g of water
    assert BATHS.rows[Solute.SALT].most_dissolved(20.0) == pytest.approx(35.9 / 135.9, abs=0.0005)
    with pytest.raises(BadInput, match=r"all that dissolves"):
        recipe_made(BATHS, Solute.SALT, solute_g=370.0, water_g=1000.0, temp_c=20.0)


@pytest.mark.parametrize("temp_c", [10.0, 20.0, 25.0, 30.0, 35.0])
def test_more_sugar_dissolves_in_a_warmer_bath(temp_c):
    # 64.447 + 0.08222 t + 0.0016169 t^2 - 1.558e-6 t^3 - 4.63e-8 t^4 per cent, from memory (sugar handbooks)
    t = min(temp_c, 30.0)
    percent = 64.447 + 0.08222 * t + 0.0016169 * t**2 - 1.558e-6 * t**3 - 4.63e-8 * t**4
    assert 100 * BATHS.rows[Solute.SUGAR].most_dissolved(temp_c) == pytest.approx(percent, abs=0.1)


@pytest.mark.parametrize("solute", ALCOHOLS)
def test_an_alcohol_without_its_strength_is_refused(solute):
    with pytest.raises(BadInput, match="weighed out as if pure"):
        recipe_for(BATHS, solute, 0.95, temp_c=15.0, volume_cm3=250.0)


def test_a_weak_alcohol_weighed_as_pure_would_miss_by_what_the_refusal_says():
    pure_g = recipe_for(
        BATHS, Solute.ETHANOL, 0.93, temp_c=15.0, volume_cm3=250.0, strength=Strength(share=1.0)
    )
    mistaken = recipe_made(
        BATHS, Solute.ETHANOL, solute_g=pure_g.solute_g, water_g=pure_g.water_g, temp_c=15.0,
        strength=Strength(share=0.7),
    )  # fmt: skip
    assert mistaken.density_g_cm3 - 0.93 >= 0.025


@pytest.mark.parametrize("share", [0.0, -0.1, 1.01, math.nan, math.inf])
@pytest.mark.parametrize("by_volume", [True, False])
def test_an_impossible_strength_is_refused(share, by_volume):
    strength = Strength(share=share, by_volume=by_volume)
    with pytest.raises(BadInput, match="Strength"):
        recipe_for(BATHS, Solute.ETHANOL, 0.95, temp_c=15.0, volume_cm3=250.0, strength=strength)


def test_salt_has_no_strength_by_volume_but_may_have_one_by_mass():
    with pytest.raises(BadInput, match="Strength of the salt"):
        recipe_for(BATHS, Solute.SALT, 1.05, temp_c=20.0, volume_cm3=1000.0, strength=BOUGHT)
    moist = Strength(share=0.97, by_volume=False)
    wet = recipe_for(BATHS, Solute.SALT, 1.05, temp_c=20.0, volume_cm3=1000.0, strength=moist)
    dry = recipe_for(BATHS, Solute.SALT, 1.05, temp_c=20.0, volume_cm3=1000.0)
    assert wet.solute_g == pytest.approx(dry.solute_g / 0.97)


@pytest.mark.parametrize("volume_cm3", [0.0, -1.0, 500.1, 2000.0, math.nan, math.inf])
@pytest.mark.parametrize("solute", ALCOHOLS)
def test_no_more_than_half_a_litre_of_alcohol_is_proposed(solute, volume_cm3):
    with pytest.raises(BadInput, match=r"up to 0\.5 L of an alcohol bath"):
        recipe_for(BATHS, solute, 0.95, temp_c=15.0, volume_cm3=volume_cm3, strength=BOUGHT)
    assert recipe_for(BATHS, solute, 0.95, temp_c=15.0, volume_cm3=500.0, strength=BOUGHT)


@pytest.mark.parametrize("temp_c", [9.9, 35.1, -300.0, math.nan, math.inf])
def test_a_temperature_nobody_checked_is_refused(temp_c):
    for act in (
        lambda: proposed_solute(BATHS, 1.05, temp_c),
        lambda: BATHS.water_g_cm3(temp_c),
        lambda: recipe_for(BATHS, Solute.SALT, 1.05, temp_c=temp_c, volume_cm3=100.0),
        lambda: recipe_made(BATHS, Solute.SALT, solute_g=10, water_g=100, temp_c=temp_c),
    ):
        with pytest.raises(BadInput, match="from 10 to 35"):
            act()


@pytest.mark.parametrize(
    ("solute_g", "water_g"), [(-1, 100), (10, -1), (0, 0), (math.nan, 100), (10, math.inf), (1e9, 100)]
)
def test_an_impossible_recipe_is_refused(solute_g, water_g):
    with pytest.raises(BadInput):
        recipe_made(BATHS, Solute.SALT, solute_g=solute_g, water_g=water_g, temp_c=20.0)


def test_plain_water_holds_no_solute():
    with pytest.raises(BadInput, match="water only"):
        recipe_made(BATHS, Solute.WATER, solute_g=5.0, water_g=100.0, temp_c=20.0)


@pytest.mark.parametrize("resolution_g", [-1.0, math.nan, math.inf])
def test_an_impossible_scale_is_refused(resolution_g):
    recipe = recipe_made(BATHS, Solute.SALT, solute_g=100.0, water_g=1000.0, temp_c=20.0)
    with pytest.raises(BadInput, match="Scale resolution"):
        mixing_sd_g_cm3(BATHS.rows[Solute.SALT], recipe, resolution_g)


def test_a_tenfold_batch_is_ten_times_surer():
    small = recipe_made(BATHS, Solute.SALT, solute_g=10.0, water_g=100.0, temp_c=20.0)
    large = recipe_made(BATHS, Solute.SALT, solute_g=100.0, water_g=1000.0, temp_c=20.0)
    facts = BATHS.rows[Solute.SALT]
    assert mixing_sd_g_cm3(facts, small, 1.0) == pytest.approx(10 * mixing_sd_g_cm3(facts, large, 1.0))
