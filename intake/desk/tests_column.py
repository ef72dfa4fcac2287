"""Tests as a person writes them ("float:water=floats;crease=no_mark") → evidence."""

from collections.abc import Iterable

from intake.errors import BadInput, UnknownName
from intake.handbook import Handbook
from intake.table.identify.evidence import Cue, Density, Evidence, FloatTest, Outcome, SpotTest
from intake.units import number, parse_with_doubt

SPOT = "spot"
"""Name of a spot test in a cell: `spot=0/59`, odd pieces of tested ones."""
MIN_BATH_G_CM3, MAX_BATH_G_CM3 = 0.7, 2.0
"""[g/cm3] no table bath lies outside: pure alcohol is 0.79, a saturated salt bath 1.20."""
MIN_DENSITY_G_CM3, MAX_DENSITY_G_CM3 = 0.005, 3.0
"""[g/cm3] from foam to a heavily filled resin."""
DENSITY_SD_G_CM3 = 0.005
"""[g/cm3] doubt of a density that was written without one: a kitchen scale's, our estimate."""
WATER_G_CM3 = 0.998
"""[g/cm3] plain water at room temperature (Tanaka 2001: 0.9982 at 20 degC, 0.9970 at 25 degC)."""


def read_tests(text: str, handbook: Handbook, *, where: str) -> tuple[Evidence, ...]:
    """The tests of one cell, in the order they are written.

    Raises:
        BadInput: a part is not name=result, or the name or the result is not known.
    """
    parts = [p.strip() for p in text.split(";") if p.strip()]
    return tuple(_one(part, handbook, where) for part in parts)


def _one(part: str, handbook: Handbook, where: str) -> Evidence:
    name, equals, result = (p.strip() for p in part.partition("="))
    if not equals or not name or not result:
        raise BadInput(where=where, got=part, expected="name=result, such as float:water=floats")
    if name.casefold() == SPOT:
        return read_spot(result, where=where)
    if name.casefold().startswith("float:"):
        return read_float(name[len("float:") :].strip(), result, where=where)
    return read_cue(name, result, handbook, where=where)


def read_float(bath: str, result: str, *, where: str) -> FloatTest:
    """A float test; the bath is "water" or a density in g/cm3.

    Raises:
        BadInput: the bath is no density a bath can have, or the result is not floats, sinks or hovers.
    """
    if result.casefold() not in set(Outcome):
        raise BadInput(where=where, got=result, expected="floats, sinks or hovers")
    outcome = Outcome(result.casefold())
    if bath.casefold() == "water":
        return FloatTest(bath="water", bath_g_cm3=WATER_G_CM3, outcome=outcome)
    expected = f"water, or a bath density from {MIN_BATH_G_CM3} to {MAX_BATH_G_CM3} g/cm3"
    density = number(bath, where=where, expected=expected)
    if not MIN_BATH_G_CM3 <= density <= MAX_BATH_G_CM3:
        raise BadInput(where=where, got=bath, expected=expected)
    return FloatTest(bath=bath, bath_g_cm3=density, outcome=outcome)


def read_spot(result: str, *, where: str) -> SpotTest:
    """A spot test of a crate: how many of the tested pieces were something else, such as "0/59".

    Raises:
        BadInput: not two whole numbers, or more odd ones than were tested.
    """
    odd, slash, tested = (p.strip() for p in result.partition("/"))
    if not (slash and odd.isascii() and tested.isascii() and odd.isdigit() and tested.isdigit()):
        raise BadInput(where=where, got=result, expected="odd pieces of tested ones, such as 0/59")
    try:
        return SpotTest(tested=int(tested), odd=int(odd))
    except BadInput as error:
        raise BadInput(where=where, got=result, expected=error.expected) from None


def check_spots(evidence: Iterable[Evidence], count: int, *, where: str) -> None:
    """A spot test takes no more pieces than there were: those that are left, and the odd ones taken out.

    Raises:
        BadInput: more pieces were tested.
    """
    for piece in evidence:
        if isinstance(piece, SpotTest) and piece.tested > count + piece.odd:
            expected = f"at most the {count + piece.odd} pieces that there were"
            raise BadInput(where=f"{where}, spot test", got=f"{piece.tested} tested", expected=expected)


def read_cue(name: str, level: str, handbook: Handbook, *, where: str) -> Cue:
    """A cue and what was seen; both are matched without case, "-" and "_" are alike.

    Raises:
        UnknownName: no cue, or no level of that cue, is called so.
    """
    cues = handbook.identify.cues.cues
    key = name.casefold().replace("-", "_").replace(" ", "_")
    if key not in cues:
        raise UnknownName(where=where, got=name, known=[*cues, "float:water"])
    seen = cues[key].level(level)
    if seen is None:
        raise BadInput(
            where=where, got=f"{name}={level}", expected=f"{key}= one of " + ", ".join(cues[key].levels)
        )
    return Cue(name=key, value=seen)


def read_density(text: str, *, where: str) -> Density:
    """A measured density such as "0.955±0.004" in g/cm3.

    Raises:
        BadInput: no number, or no density a plastic can have.
    """
    expected = "a density from 0.005 to 3 g/cm3, such as 0.955±0.004"
    value, doubt = parse_with_doubt(text, where=where, expected=expected)
    if not MIN_DENSITY_G_CM3 <= value <= MAX_DENSITY_G_CM3 or doubt == 0:
        raise BadInput(where=where, got=text, expected=expected)
    return Density(density_g_cm3=value, sd_g_cm3=DENSITY_SD_G_CM3 if doubt is None else doubt)
