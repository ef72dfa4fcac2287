"""A float bath as proposed to a person: recipe, slopes, what it parts, and what to mind."""

from dataclasses import dataclass

from intake.errors import BadInput
from intake.table.identify.alcohol import flash_c
from intake.table.identify.bath_facts import BathFacts, BathTable, Solute
from intake.table.identify.bath_recipe import (
    Recipe,
    Strength,
    reach_g_cm3,
    recipe_for,
)
from intake.table.identify.bath_slopes import density_per_degree, density_per_percent, mixing_sd_g_cm3
from intake.table.identify.parting import Parting, parting
from intake.table.resins import Reason, ResinTable

COLDEST_ROOM_C, HOTTEST_ROOM_C = -20.0, 50.0
"""[degC] nobody sorts plastic beyond these."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Bath:
    """Everything to say about one bath.

    Attributes:
        recipe: what goes in, and the density it gives.
        d_density_per_percent: [g/cm3] per percentage point of mass.
        d_density_per_degree: [g/cm3] per degC.
        doubt_g_cm3: [g/cm3] how far the correlation may be off.
        mixing_sd_g_cm3: [g/cm3] standard uncertainty from the scale.
        parting: which resins it parts.
        try_first: harmless baths that come before this one.
        flash_c: [degC] flash point of the bath; None where it cannot burn.
        too_warm: why it must not be mixed here and now; None where it may.
        cautions: codes with their values, the most important first.
    """

    recipe: Recipe
    d_density_per_percent: float
    d_density_per_degree: float
    doubt_g_cm3: float
    mixing_sd_g_cm3: float
    parting: Parting
    try_first: tuple[Solute, ...]
    flash_c: float | None
    too_warm: Reason | None
    cautions: tuple[Reason, ...]


def proposed_solute(table: BathTable, density_g_cm3: float, temp_c: float) -> Solute:
    """The first solute, in the order of proposal, that can make a bath of that density [g/cm3].

    Raises:
        BadInput: none can; the range of all baths is told.
    """
    table.checked_temp_c(temp_c)
    reaches = {s: reach_g_cm3(f, temp_c, 1.0) for s, f in table.rows.items()}
    for solute, (low, high) in reaches.items():
        slack = table.rows[solute].doubt_g_cm3.high if solute is Solute.WATER else 0.0
        if low - slack <= density_g_cm3 <= high + slack:
            return solute
    low, high = min(r[0] for r in reaches.values()), max(r[1] for r in reaches.values())
    expected = f"a density from {low:.3f} to {high:.3f} g/cm3, what water, salt, sugar and alcohols can reach"
    raise BadInput(where="Bath density", got=f"{density_g_cm3:g} g/cm3", expected=expected)


def proposed_recipe(
    table: BathTable, solute: Solute, density_g_cm3: float, *, temp_c: float,
    volume_cm3: float | None, strength: Strength | None,
) -> Recipe:  # fmt: skip
    """The recipe for a wanted density; without a volume, for the usual batch of that bath.

    Raises:
        BadInput: as `recipe_for`.
    """
    batch_cm3 = table.rows[solute].batch_cm3 if volume_cm3 is None else volume_cm3
    return recipe_for(table, solute, density_g_cm3, temp_c=temp_c, volume_cm3=batch_cm3, strength=strength)


def bath_of(
    table: BathTable, resins: ResinTable, recipe: Recipe, *, room_c: float, resolution_g: float
) -> Bath:  # fmt: skip
    """Everything to say about a bath whose recipe is known.

    Args:
        table: all baths.
        resins: densities of what is to be parted.
        recipe: what goes in.
        room_c: [degC] of the room; as warm as the room is, the bath will become.
        resolution_g: [g] of the scale, 0 or more.

    Returns:
        The bath; where `too_warm` is set it must not be proposed, only told about.

    Raises:
        BadInput: the resolution or the room's temperature is impossible.
    """
    facts = table.rows[recipe.solute]
    if not COLDEST_ROOM_C <= room_c <= HOTTEST_ROOM_C:
        expected = f"a temperature from {COLDEST_ROOM_C:g} to {HOTTEST_ROOM_C:g} °C"
        raise BadInput(where="Room temperature", got=f"{room_c:g} °C", expected=expected)
    burns_c = flash_c(table, facts, recipe.mass_fraction)
    too_warm = _too_warm(table, recipe, burns_c, max(recipe.temp_c, room_c))
    return Bath(
        recipe=recipe,
        d_density_per_percent=density_per_percent(facts, recipe.mass_fraction, recipe.temp_c),
        d_density_per_degree=density_per_degree(facts, recipe.mass_fraction, recipe.temp_c),
        doubt_g_cm3=facts.doubt_g_cm3.high,
        mixing_sd_g_cm3=mixing_sd_g_cm3(facts, recipe, resolution_g),
        parting=parting(resins, table.foams, recipe.density_g_cm3, table.reading_g_cm3.typical),
        try_first=_before(table, recipe.solute),
        flash_c=burns_c,
        too_warm=too_warm,
        cautions=(*filter(None, (too_warm,)), *_cautions(table, facts, recipe, burns_c, room_c)),
    )


def _too_warm(table: BathTable, recipe: Recipe, burns_c: float | None, warm_c: float) -> Reason | None:
    """Why bath or room is too near the flash point; None where it is far enough or nothing burns."""
    if burns_c is None or warm_c < burns_c - table.flash_margin_c.typical:
        return None
    return Reason.of(
        "alcohol_too_warm", solute=recipe.solute.value, density_g_cm3=f"{recipe.density_g_cm3:.3f}",
        flash_c=burns_c, warm_c=warm_c, below_c=burns_c - table.flash_margin_c.typical,
    )  # fmt: skip


def _before(table: BathTable, solute: Solute) -> tuple[Solute, ...]:
    """Plain water and salt come before everything else."""
    harmless = tuple(s for s in table.rows if s in (Solute.WATER, Solute.SALT))
    return harmless[: harmless.index(solute)] if solute in harmless else harmless


def _cautions(
    table: BathTable, facts: BathFacts, recipe: Recipe, burns_c: float | None, room_c: float
) -> tuple[Reason, ...]:
    """What goes with this bath, fire first."""
    told: list[Reason] = []
    bought_c = flash_c(table, facts, recipe.strength)
    if burns_c is not None:
        most_l = table.alcohol_volume_cm3.typical / 1000.0
        told.append(Reason.of("flammable_alcohol", flash_c=burns_c, most=f"{most_l:g} L"))
    if bought_c is not None and bought_c <= max(recipe.temp_c, room_c):
        told.append(Reason.of("bought_alcohol_burns", flash_c=bought_c))
    told.extend(Reason.of(code) for code in facts.cautions)
    if recipe.solute not in (Solute.WATER, Solute.SALT):
        told.append(Reason.of("water_and_salt_first"))
    return tuple(told)
