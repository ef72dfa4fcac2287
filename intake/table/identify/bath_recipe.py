"""From a wanted density to what goes on the scale, and from what went on the scale back to a density."""

import math
from dataclasses import dataclass

from intake.errors import BadInput
from intake.table.identify.alcohol import mass_fraction_of
from intake.table.identify.bath_facts import BathFacts, BathTable, Solute

LARGEST_BATH_CM3 = 1e6
"""[cm3] more than a cubic metre is a slip of the pen."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Strength:
    """What a bottle's label says: [-] share of volume at 20 degC, or share of mass."""

    share: float
    by_volume: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class Recipe:
    """What is in a bath.

    Attributes:
        solute: what is dissolved.
        density_g_cm3: [g/cm3] at `temp_c`.
        mass_fraction: [-] of the pure solute in the bath.
        strength: [-] mass fraction of the pure solute in what was bought; 1 for salt and sugar.
        solute_g: [g] of what was bought, at its strength.
        water_g: [g] of water to add.
        temp_c: [degC] of the bath.
    """

    solute: Solute
    density_g_cm3: float
    mass_fraction: float
    strength: float
    solute_g: float
    water_g: float
    temp_c: float

    @property
    def volume_cm3(self) -> float:
        """[cm3] of the mixed bath at its temperature; less than the sum of its parts."""
        return (self.solute_g + self.water_g) / self.density_g_cm3


def bought_strength(table: BathTable, facts: BathFacts, strength: Strength | None) -> float:
    """[-] Mass fraction of the pure solute in what was bought; 1 for salt and sugar nobody says more about.

    Raises:
        BadInput: an alcohol without its strength, a strength by volume of a solid, or one outside 0 to 100 %.
    """
    if strength is None:
        if facts.is_alcohol:
            expected = (
                "the strength on the bottle, such as 70%vol or 96%vol: weighed out as if pure, a 70 %vol "
                "alcohol gives a bath 0.03 g/cm3 or more too dense, enough to take one plastic for another"
            )
            raise BadInput(where=f"Strength of the {facts.solute}", got="nothing", expected=expected)
        return 1.0
    if strength.by_volume and facts.is_alcohol:
        return mass_fraction_of(facts.fit, strength.share, table.strength_temp_c.typical)
    if strength.by_volume or not 0.0 < strength.share <= 1.0 or facts.solute is Solute.WATER:
        what = "by volume or by mass" if facts.is_alcohol else "by mass"
        shown = f"{100.0 * strength.share:g} {'%vol' if strength.by_volume else '%mass'}"
        expected = f"a strength {what} above 0 and up to 100 %, of something that is not plain water"
        raise BadInput(where=f"Strength of the {facts.solute}", got=shown, expected=expected)
    return strength.share


def reach_g_cm3(facts: BathFacts, temp_c: float, strength: float) -> tuple[float, float]:
    """[g/cm3] Lightest and densest bath that can be mixed at `temp_c` [degC] from that strength [-]."""
    most = min(facts.most_dissolved(temp_c), strength)
    ends = (facts.fit.density_g_cm3(0.0, temp_c), facts.fit.density_g_cm3(most, temp_c))
    return min(ends), max(ends)


def mass_fraction_for(facts: BathFacts, density_g_cm3: float, temp_c: float, strength: float = 1.0) -> float:
    """The mass fraction that gives a wanted density.

    Args:
        facts: the bath.
        density_g_cm3: [g/cm3] wanted.
        temp_c: [degC] of the bath, 10 to 35.
        strength: [-] mass fraction of the pure solute in what was bought.

    Returns:
        [-] of the pure solute, found by halving to 1e-12: every correlation is monotonic where it is used.

    Raises:
        BadInput: no mixture has that density; the possible range is told.
    """
    low, high = reach_g_cm3(facts, temp_c, strength)
    slack = facts.doubt_g_cm3.high if facts.solute is Solute.WATER else 1e-9
    if not low - slack <= density_g_cm3 <= high + slack:
        raise BadInput(
            where=f"Bath of {facts.solute} at {temp_c:g} °C",
            got=f"{density_g_cm3:g} g/cm3",
            expected=f"a density from {_up(low):.4f} to {_down(high):.4f} g/cm3{_why(facts)}",
        )
    water_g_cm3 = facts.fit.density_g_cm3(0.0, temp_c)
    light, heavy = 0.0, min(facts.most_dissolved(temp_c), strength)
    for _ in range(50):
        middle = 0.5 * (light + heavy)
        here = facts.fit.density_g_cm3(middle, temp_c)
        if abs(here - water_g_cm3) < abs(density_g_cm3 - water_g_cm3):
            light = middle
        else:
            heavy = middle
    return heavy


def recipe_for(
    table: BathTable, solute: Solute, density_g_cm3: float, *, temp_c: float, volume_cm3: float,
    strength: Strength | None = None,
) -> Recipe:  # fmt: skip
    """What to weigh for a bath of a wanted density and volume.

    Args:
        table: all baths.
        solute: which one.
        density_g_cm3: [g/cm3] wanted at `temp_c`.
        temp_c: [degC] of the bath, 10 to 35.
        volume_cm3: [cm3] of the mixed bath, > 0; at most 500 for alcohol.
        strength: of what was bought; owed for alcohols.

    Returns:
        The recipe; volumes shrink on mixing, so it is in masses.

    Raises:
        BadInput: a value is outside what is possible.
    """
    facts = table.rows[solute]
    table.checked_temp_c(temp_c)
    bought = bought_strength(table, facts, strength)
    _check_volume(table, facts, volume_cm3)
    mass_fraction = mass_fraction_for(facts, density_g_cm3, temp_c, bought)
    density = facts.fit.density_g_cm3(mass_fraction, temp_c)
    bath_g = volume_cm3 * density
    solute_g = bath_g * mass_fraction / bought
    return Recipe(
        solute=solute, density_g_cm3=density, mass_fraction=mass_fraction, strength=bought,
        solute_g=solute_g, water_g=max(bath_g - solute_g, 0.0), temp_c=temp_c,
    )  # fmt: skip


def recipe_made(
    table: BathTable, solute: Solute, *, solute_g: float, water_g: float, temp_c: float,
    strength: Strength | None = None,
) -> Recipe:  # fmt: skip
    """The bath that was mixed from these masses, at any temperature.

    Args:
        table: all baths.
        solute: which one.
        solute_g: [g] of what was bought, 0 or more.
        water_g: [g] of water added, 0 or more; not both 0.
        temp_c: [degC] of the bath, 10 to 35.
        strength: of what was bought; owed for alcohols.

    Returns:
        The recipe with its density.

    Raises:
        BadInput: a mass is impossible, or more than dissolves at that temperature.
    """
    facts = table.rows[solute]
    table.checked_temp_c(temp_c)
    bought = bought_strength(table, facts, strength)
    for where, mass_g in (("Mass of the solute", solute_g), ("Mass of the water", water_g)):
        if not 0.0 <= mass_g <= LARGEST_BATH_CM3:
            raise BadInput(where=where, got=f"{mass_g:g} g", expected="a mass from 0 g to 1000 kg")
    if solute_g + water_g <= 0.0:
        raise BadInput(where="Recipe", got="0 g", expected="something in the bath, such as 1000 g of water")
    if solute is Solute.WATER and solute_g > 0.0:
        raise BadInput(where="Recipe of plain water", got=f"{solute_g:g} g of solute", expected="water only")
    mass_fraction = bought * solute_g / (solute_g + water_g)
    most = facts.most_dissolved(temp_c)
    if mass_fraction > most + 1e-9:
        expected = f"at most {100 * most:.1f} % of the bath, all that dissolves at {temp_c:g} °C"
        raise BadInput(where=f"Share of {solute}", got=f"{100 * mass_fraction:.1f} %", expected=expected)
    return Recipe(
        solute=solute, density_g_cm3=facts.fit.density_g_cm3(mass_fraction, temp_c), strength=bought,
        mass_fraction=mass_fraction, solute_g=solute_g, water_g=water_g, temp_c=temp_c,
    )  # fmt: skip


def _check_volume(table: BathTable, facts: BathFacts, volume_cm3: float) -> None:
    """Refuse a volume that is none, or more alcohol than one should have open on a table."""
    most_cm3 = table.alcohol_volume_cm3.typical if facts.is_alcohol else LARGEST_BATH_CM3
    if not 0.0 < volume_cm3 <= most_cm3 * (1.0 + 1e-9):
        why = " of an alcohol bath, because it can catch fire" if facts.is_alcohol else ""
        expected = f"a volume above 0 and up to {most_cm3 / 1000.0:g} L{why}"
        raise BadInput(where="Volume of the bath", got=f"{volume_cm3 / 1000.0:g} L", expected=expected)


def _why(facts: BathFacts) -> str:
    """What ends the range of a bath."""
    if facts.solute is Solute.WATER:
        return ", which is plain water"
    if facts.is_alcohol:
        return ", from the bought alcohol as it is to plain water"
    return ", from plain water to all that dissolves"


def _up(density_g_cm3: float) -> float:
    """Rounded up to the four places that are shown, so that the shown end can be mixed."""
    return math.ceil(density_g_cm3 * 1e4 - 1e-6) / 1e4


def _down(density_g_cm3: float) -> float:
    """Rounded down to the four places that are shown."""
    return math.floor(density_g_cm3 * 1e4 + 1e-6) / 1e4
