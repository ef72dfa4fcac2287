"""Float baths as they are proposed: order, what they part, fire, cautions."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from intake.errors import BadInput
from intake.handbook.baths import read_baths
from intake.handbook.resins import read_resins
from intake.table.identify.alcohol import flash_c
from intake.table.identify.bath_facts import Solute
from intake.table.identify.bath_recipe import (
    Strength,
)
from intake.table.identify.baths import bath_of, proposed_recipe, proposed_solute
from intake.table.identify.parting import parting

BATHS, RESINS = read_baths(), read_resins()
ALCOHOLS = (Solute.ETHANOL, Solute.ISOPROPANOL)
SOLIDS = (Solute.SALT, Solute.SUGAR)
BOUGHT = Strength(share=0.96)
temps = st.floats(10.0, 35.0)


def bath(solute, density, *, temp_c=20.0, room_c=None, strength=None, volume_cm3=None):
    recipe = proposed_recipe(BATHS, solute, density, temp_c=temp_c, volume_cm3=volume_cm3, strength=strength)
    room = temp_c if room_c is None else room_c
    return bath_of(BATHS, RESINS, recipe, room_c=room, resolution_g=1.0)


def codes(made):
    return [c.code for c in made.cautions]


@pytest.mark.parametrize(
    ("density", "solute"),
    [
        (0.9982, "water"),
        (1.02, "salt"),
        (1.19, "salt"),
        (1.25, "sugar"),
        (0.93, "ethanol"),
        (0.79, "ethanol"),
    ],
)
def test_the_harmless_bath_is_proposed_before_the_others(density, solute):
    assert proposed_solute(BATHS, density, 20.0) == solute


@pytest.mark.parametrize("density", [0.5, 0.77, 1.35, 2.0, math.nan, math.inf, -1.0, 0.0])
def test_a_density_no_bath_reaches_is_refused(density):
    with pytest.raises(BadInput, match="water, salt, sugar and alcohols can reach"):
        proposed_solute(BATHS, density, 20.0)


@pytest.mark.parametrize(
    ("bath_c", "room_c", "allowed"),
    [(15.0, 15.0, True), (18.5, 18.5, True), (19.5, 15.0, False), (15.0, 19.5, False), (30.0, 30.0, False)],
)
def test_an_alcohol_bath_within_five_degrees_of_its_flash_point_is_not_proposed(bath_c, room_c, allowed):
    made = bath(Solute.ETHANOL, 0.93, temp_c=bath_c, room_c=room_c, strength=BOUGHT)
    near = made.flash_c - max(bath_c, room_c) <= 5.0
    assert near is not allowed
    assert (made.too_warm is None) is allowed
    assert ("alcohol_too_warm" in codes(made)) is not allowed


@settings(max_examples=50)
@given(solute=st.sampled_from(ALCOHOLS), a=st.floats(0.001, 1), b=st.floats(0.001, 1))
def test_a_stronger_alcohol_never_flashes_later(solute, a, b):
    facts = BATHS.rows[solute]
    weak, strong = sorted((a, b))
    assert flash_c(BATHS, facts, strong) <= flash_c(BATHS, facts, weak)


@pytest.mark.parametrize("solute", [Solute.WATER, *SOLIDS])
def test_what_cannot_burn_has_no_flash_point(solute):
    assert flash_c(BATHS, BATHS.rows[solute], 0.2) is None


@pytest.mark.parametrize(
    ("solute", "density", "first"),
    [
        ("water", 0.9982, ()), ("salt", 1.08, ("water",)), ("sugar", 1.25, ("water", "salt")),
        ("ethanol", 0.95, ("water", "salt")), ("isopropanol", 0.95, ("water", "salt")),
    ],
)  # fmt: skip
def test_water_and_salt_come_first(solute, density, first):
    strength = BOUGHT if Solute(solute) in ALCOHOLS else None
    made = bath(Solute(solute), density, temp_c=20.0 if density > 0.99 else 15.0, strength=strength)
    assert made.try_first == first
    assert ("water_and_salt_first" in codes(made)) is (len(first) == 2)


@pytest.mark.parametrize("solute", ALCOHOLS)
def test_fire_is_told_first_and_the_bottle_too(solute):
    made = bath(solute, 0.95, temp_c=18.0, strength=Strength(share=0.99))
    assert codes(made)[:2] == ["flammable_alcohol", "bought_alcohol_burns"]
    assert {"alcohol_label", "alcohol_crazes"} <= set(codes(made))
    assert ("isopropanol_doubt" in codes(made)) is (solute is Solute.ISOPROPANOL)


@pytest.mark.parametrize(
    ("solute", "density", "code"), [("salt", 1.08, "salt_brine"), ("sugar", 1.25, "sugar_syrup")]
)
def test_salt_and_sugar_bring_their_own_cautions(solute, density, code):
    assert code in codes(bath(Solute(solute), density))
    assert "flammable_alcohol" not in codes(bath(Solute(solute), density))


@pytest.mark.parametrize(
    ("density", "light", "heavy"),
    [
        (0.998, "PE-HD", "PS"), (0.998, "PP", "PET"), (0.925, "PP", "PE-HD"), (1.08, "PS", "PET"),
        (1.08, "ABS", "PVC"), (1.25, "PC", "PET"), (0.998, "PS-E", "PS"),
    ],
)  # fmt: skip
def test_a_bath_parts_the_resins_of_the_usual_ladder(density, light, heavy):
    # common practice: the ladder 0.925, water, 1.08, 1.25
    assert (light, heavy) in parting(RESINS, BATHS.foams, density, 0.0025).pairs


@settings(max_examples=80)
@given(density=st.floats(0.79, 1.6), margin=st.floats(0.0, 0.01))
def test_no_bath_parts_pvc_from_pet(density, margin):
    pairs = parting(RESINS, BATHS.foams, density, margin).pairs
    assert ("PET", "PVC") not in pairs
    assert ("PVC", "PET") not in pairs


@settings(max_examples=80)
@given(density=st.floats(0.79, 1.6), margin=st.floats(0.0, 0.01), more=st.floats(0.0, 0.01))
def test_a_pair_is_parted_only_when_the_whole_ranges_lie_apart(density, margin, more):
    parted = parting(RESINS, BATHS.foams, density, margin)
    for light, heavy in parted.pairs:
        low = BATHS.foams.get(light, RESINS.rows[light].density_g_cm3)
        assert low.high < density - margin
        assert RESINS.rows[heavy].density_g_cm3.low > density + margin
    assert set(parting(RESINS, BATHS.foams, density, margin + more).pairs) <= set(parted.pairs)
    groups = (*parted.floats, *parted.sinks, *parted.either)
    assert len(groups) == len(set(groups)) == len(RESINS.judged) - 1


@pytest.mark.parametrize("room_c", [-21.0, 51.0, math.nan])
def test_a_room_nobody_sorts_in_is_refused(room_c):
    with pytest.raises(BadInput, match="Room temperature"):
        bath(Solute.SALT, 1.08, room_c=room_c)


@pytest.mark.parametrize("solute", list(Solute))
def test_every_caution_of_the_table_has_words(solute, words):
    for code in BATHS.rows[solute].cautions:
        assert f"reason.{code}" in words.texts
    for key in ("solute", "pure"):
        assert f"bath.{key}.{solute}" in words.texts
