"""`intake bath`: mix a float bath, or say how dense a mixed one is."""

import re
from typing import Any

import click

from intake.cli.show import console, mind_line, print_json
from intake.errors import BadInput
from intake.table.identify.bath_facts import Solute
from intake.table.identify.bath_recipe import Strength
from intake.table.identify.baths import Bath
from intake.units import number, parse_mass_g, parse_temperature_c, parse_volume_cm3
from intake.words import Words
from intake.words.figures import mass_text

_STRENGTH = re.compile(r"^\s*(.+?)\s*%\s*(vol|v/v|abv|mass|w/w)\.?\s*$", re.IGNORECASE)
_BY_MASS = ("mass", "w/w")
_DENSITY_UNIT = re.compile(r"\s*(g/cm3|g/cm³|g/ml|kg/l)\s*$", re.IGNORECASE)


@click.command()
@click.argument("density", required=False)
@click.option("--solute", type=click.Choice([s.value for s in Solute]), help="What to dissolve.")
@click.option("--strength", help="Of the bought alcohol: 70%vol, 96%vol, 99%vol or 92%mass.")
@click.option("--temperature", default="20°C", show_default=True, help="Of the bath, 10 to 35 °C.")
@click.option("--room", help="Temperature of the room; the bath's where not given.")
@click.option("--volume", help="Of the mixed bath, such as 2L; alcohol at most 0.5L.")
@click.option("--scale", default="1g", show_default=True, help="Smallest step of the scale.")
@click.option("--from-recipe", is_flag=True, help="The way back: density of what was mixed.")
@click.option("--solute-mass", help="With --from-recipe: mass of what was bought, such as 160g.")
@click.option("--water", help="With --from-recipe: water added, such as 1000g or 1L.")
@click.option("--json", "as_json", is_flag=True, help="One JSON document instead of words.")
def bath(*, as_json: bool, **given: Any) -> None:
    """Mix a float bath of a wanted DENSITY (g/cm3), or tell the density of a mixed one."""
    from intake.desk.baths import mixed_bath, propose_bath
    from intake.desk.cautions import COMMANDS, cautions_shown
    from intake.handbook import Handbook
    from intake.handbook.locate import resources
    from intake.words import catalogue

    book = Handbook()
    temp_c = parse_temperature_c(given["temperature"], where="--temperature")
    resolution_g = parse_mass_g(given["scale"], where="--scale")
    asked: dict[str, Any] = {
        "temp_c": temp_c,
        "room_c": parse_temperature_c(given["room"], where="--room") if given["room"] is not None else None,
        "strength": parse_strength(given["strength"]) if given["strength"] is not None else None,
        "resolution_g": resolution_g,
    }
    solute = Solute(given["solute"]) if given["solute"] else None
    _check_ways(given)
    if given["from_recipe"]:
        solute_g = parse_mass_g(given["solute_mass"] or "0", where="--solute-mass", zero_ok=True)
        water_g = _water_g(given["water"], book.baths.water_g_cm3(temp_c))
        result = mixed_bath(book, solute or Solute.WATER, solute_g=solute_g, water_g=water_g, **asked)
    else:
        volume = given["volume"]
        volume_cm3 = parse_volume_cm3(volume, where="--volume") if volume is not None else None
        result = propose_bath(
            book, parse_density(given["density"]), solute=solute, volume_cm3=volume_cm3, **asked
        )  # fmt: skip
    words, water_g_cm3 = catalogue(resources() / "words"), book.baths.water_g_cm3(temp_c)
    mind = cautions_shown(book, COMMANDS["bath"])
    if as_json:
        print_json(bath_json(result, words, water_g_cm3) | {"caution_ids": [c.id for c in mind]})
    else:
        for line in (*bath_lines(result, words, water_g_cm3, resolution_g), mind_line(mind, words)):
            console().print(line, markup=False)


def parse_density(text: str) -> float:
    """[g/cm3] A wanted density such as "1.08" or "1,08 g/cm3"; what is possible, the bath says."""
    expected = "a density in g/cm3, such as 0.93 or 1.08"
    value = number(_DENSITY_UNIT.sub("", text), where="DENSITY", expected=expected)
    if value <= 0:
        raise BadInput(where="DENSITY", got=text, expected=expected)
    return value


def parse_strength(text: str) -> Strength:
    """A strength such as "70%vol" or "92%mass"; a bare per cent is refused: the two differ a lot."""
    expected = "a strength by volume or by mass, such as 70%vol, 96%vol or 92%mass: the label says which"
    match = _STRENGTH.match(text)
    if match is None:
        raise BadInput(where="--strength", got=text, expected=expected)
    share = number(match[1], where="--strength", expected=expected) / 100.0
    return Strength(share=share, by_volume=match[2].lower() not in _BY_MASS)


def _check_ways(given: dict[str, Any]) -> None:
    """One way at a time: a density to mix, or a recipe to read."""
    back = given["from_recipe"]
    if not back and given["density"] is None:
        expected = "a density in g/cm3 such as 1.08, or --from-recipe with what was mixed"
        raise BadInput(where="DENSITY", got="nothing", expected=expected)
    if back and given["density"] is not None:
        raise BadInput(where="DENSITY", got=given["density"], expected="no density beside --from-recipe")
    if back and given["volume"] is not None:
        expected = "no volume beside --from-recipe: it follows from the masses"
        raise BadInput(where="--volume", got=given["volume"], expected=expected)
    for name in ("solute_mass", "water"):
        if not back and given[name] is not None:
            where = "--" + name.replace("_", "-")
            raise BadInput(where=where, got=given[name], expected="--from-recipe beside it")
    if back and given["solute_mass"] is not None and given["solute"] is None:
        raise BadInput(where="--solute", got="nothing", expected="what was dissolved, such as salt")


def _water_g(text: str | None, water_g_cm3: float) -> float:
    """[g] Water given as a mass or as a volume at the bath's temperature; none where nobody says any."""
    if text is None:
        return 0.0
    try:
        return parse_mass_g(text, where="--water", zero_ok=True)
    except BadInput:
        return parse_volume_cm3(text, where="--water") * water_g_cm3


def bath_json(result: Bath, words: Words, water_g_cm3: float) -> dict[str, Any]:
    """The document of `shared/bath.schema.json`."""
    recipe, parted = result.recipe, result.parting
    return {
        "density_g_cm3": round(recipe.density_g_cm3, 6),
        "solute": recipe.solute.value,
        "mass_fraction": round(recipe.mass_fraction, 6),
        "strength_mass_fraction": round(recipe.strength, 6),
        "solute_g": round(recipe.solute_g, 3),
        "water_g": round(recipe.water_g, 3),
        "water_ml": round(recipe.water_g / water_g_cm3, 3),
        "volume_ml": round(recipe.volume_cm3, 3),
        "temperature_c": recipe.temp_c,
        "d_density_per_percent": round(result.d_density_per_percent, 7),
        "d_density_per_degree": round(result.d_density_per_degree, 7),
        "doubt_g_cm3": result.doubt_g_cm3,
        "mixing_sd_g_cm3": round(result.mixing_sd_g_cm3, 6),
        "flash_point_c": None if result.flash_c is None else round(result.flash_c, 1),
        "try_first": [s.value for s in result.try_first],
        "separates": [{"floats": light, "sinks": heavy} for light, heavy in parted.pairs],
        "floats": list(parted.floats),
        "sinks": list(parted.sinks),
        "either": list(parted.either),
        "cautions": [c.code for c in result.cautions],
        "caution_texts": [words.reason(c) for c in result.cautions],
    }


def bath_lines(result: Bath, words: Words, water_g_cm3: float, resolution_g: float) -> list[str]:
    """What a person reads: recipe, care, drift, what it parts, cautions."""
    recipe = result.recipe
    plain = recipe.solute is Solute.WATER
    values = {
        "solute": words(f"bath.solute.{recipe.solute}"), "pure": words(f"bath.pure.{recipe.solute}"),
        "solute_g": _weight(recipe.solute_g, resolution_g), "water_g": _weight(recipe.water_g, resolution_g),
        "water_ml": f"{recipe.water_g / water_g_cm3:.0f}", "volume": f"{recipe.volume_cm3 / 1000:.2f} L",
        "density": f"{recipe.density_g_cm3:.4f}", "temp_c": f"{recipe.temp_c:g} °C",
        "percent": f"{100 * recipe.mass_fraction:.1f}", "resolution": mass_text(resolution_g),
        "per_percent": f"{result.d_density_per_percent:+.4f} g/cm3", "doubt": f"{result.doubt_g_cm3:.4f}",
        "per_degree": f"{result.d_density_per_degree:+.5f}", "sd": f"{result.mixing_sd_g_cm3:.4f}",
    }  # fmt: skip
    keys = ["bath.weigh_water", "bath.gives", "bath.careful_water", "bath.drift"] if plain else [
        "bath.weigh", "bath.gives", "bath.careful", "bath.drift"
    ]  # fmt: skip
    lines = [words(key, **values) for key in keys]
    for name in ("floats", "sinks", "either"):
        resins = ", ".join(getattr(result.parting, name)) or words("bath.none")
        lines.append(words(f"bath.{name}", resins=resins))
    return lines + [f"• {words.reason(c)}" for c in result.cautions]


def _weight(mass_g: float, resolution_g: float) -> str:
    """A mass to the step of the scale, in grams: it is weighed, not read."""
    return f"{mass_g:.1f} g" if resolution_g < 1.0 else f"{mass_g:.0f} g"
