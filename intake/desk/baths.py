"""Mixing a float bath: what to weigh for a wanted density, or how dense what was mixed is."""

from intake.errors import Refusal
from intake.handbook import Handbook
from intake.handbook.locate import resources
from intake.table.identify.bath_facts import Solute
from intake.table.identify.bath_recipe import Strength, recipe_made
from intake.table.identify.baths import Bath, bath_of, proposed_recipe, proposed_solute
from intake.words import catalogue

SCALE_STEP_G = 1.0
"""[g] the step of a kitchen scale when nobody says a finer one."""


def propose_bath(
    handbook: Handbook, density_g_cm3: float, *, solute: Solute | None, temp_c: float,
    room_c: float | None = None, volume_cm3: float | None = None, strength: Strength | None = None,
    resolution_g: float = SCALE_STEP_G,
) -> Bath:  # fmt: skip
    """The bath to mix for a wanted density; without a solute, the first one in the order of proposal.

    Raises:
        BadInput: a value is outside what is possible.
        Refusal: bath or room is too near the flash point of an alcohol bath.
    """
    table = handbook.baths
    chosen = solute or proposed_solute(table, density_g_cm3, temp_c)
    recipe = proposed_recipe(
        table, chosen, density_g_cm3, temp_c=temp_c, volume_cm3=volume_cm3, strength=strength
    )  # fmt: skip
    room = temp_c if room_c is None else room_c
    bath = bath_of(table, handbook.resins, recipe, room_c=room, resolution_g=resolution_g)
    if bath.too_warm is not None:
        raise Refusal(catalogue(resources() / "words").reason(bath.too_warm))
    return bath


def mixed_bath(
    handbook: Handbook, solute: Solute, *, solute_g: float, water_g: float, temp_c: float,
    room_c: float | None = None, strength: Strength | None = None, resolution_g: float = SCALE_STEP_G,
) -> Bath:  # fmt: skip
    """The bath that was mixed from these masses; a dangerous one is told about, not refused.

    Raises:
        BadInput: a value is outside what is possible.
    """
    recipe = recipe_made(
        handbook.baths, solute, solute_g=solute_g, water_g=water_g, temp_c=temp_c, strength=strength
    )  # fmt: skip
    room = temp_c if room_c is None else room_c
    return bath_of(handbook.baths, handbook.resins, recipe, room_c=room, resolution_g=resolution_g)
