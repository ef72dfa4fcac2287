"""Saying what an item is made of: evidence as a person writes it in, the odds and the next test out."""

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from typing import Any

from intake.desk.tests_column import SPOT, read_float
from intake.errors import BadInput, UnknownName
from intake.handbook import Handbook
from intake.table.identify.evidence import Cue, Density, Evidence, FloatTest, Mark, SpotTest
from intake.table.identify.hydrostatic import hydrostatic_density
from intake.table.identify.next_test import NextTest, next_tests
from intake.table.identify.odds import Posterior
from intake.table.identify.posterior import judge
from intake.table.kinds import Kind
from intake.table.resins import Reason
from intake.units import number, parse_mass_g, parse_temperature_c
from intake.words import Words

WATER_SD_G_CM3 = 0.0005
"""[g/cm3] plain water read with a thermometer: two degrees are 0.0004; our estimate."""

_WEIGHED = ("dry", "hanging", "bath", "temperature", "resolution")
_WEIGHED_HELP = "dry=62.1g,hanging=-2.6g,bath=water,temperature=20°C,resolution=0.1g"


@dataclass(frozen=True, slots=True, kw_only=True)
class Identified:
    """The odds of an item, and the tests not made yet, the most telling per minute first."""

    kind: Kind
    posterior: Posterior
    next_tests: tuple[NextTest, ...]


def identify(
    handbook: Handbook,
    kind: Kind,
    evidence: Sequence[Evidence],
    *,
    kit: frozenset[str] | None = None,
    hot: bool = False,
) -> Identified:
    """What the item is made of after the evidence, and what to test next with this kit.

    Raises:
        BadInput: a piece of evidence is impossible or unknown.
    """
    return Identified(
        kind=kind,
        posterior=judge(kind, evidence, handbook.identify),
        next_tests=next_tests(kind, evidence, handbook.identify, kit=kit, hot=hot),
    )


def read_float_in(handbook: Handbook, text: str, *, where: str) -> FloatTest:
    """A float test such as "water=floats", "0.93=sinks" or "salt-1.08=hovers".

    Raises:
        BadInput: no bath of that name or density, or no such outcome.
    """
    bath, equals, result = (part.strip() for part in text.rpartition("="))
    if not equals:
        raise BadInput(where=where, got=text, expected="BATH=floats, BATH=sinks or BATH=hovers")
    ready = handbook.identify.cues.baths.get(bath.casefold())
    if ready is None:
        return read_float(bath, result, where=where)
    read = read_float("water", result, where=where)
    return replace(read, bath=ready.id, bath_g_cm3=ready.bath_g_cm3)


def read_weighed(handbook: Handbook, text: str, *, where: str) -> Density:
    """The density from "dry=62.1g,hanging=-2.6g,bath=water,temperature=20°C,resolution=0.1g".

    `bath` is water when left out, or a density in g/cm3; `temperature` is 20 °C, `resolution` 1 g.

    Raises:
        BadInput: a part is missing, unknown, written twice or impossible.
    """
    parts = _parts(text, where)
    for owed in ("dry", "hanging"):
        if owed not in parts:
            raise BadInput(where=where, got=text, expected=f"{owed}= in {_WEIGHED_HELP}")
    hanging = parts["hanging"].removeprefix("-")
    sign = -1.0 if parts["hanging"].startswith("-") else 1.0
    bath = parts.get("bath", "water")
    if bath.casefold() == "water":
        temp_c = parse_temperature_c(parts.get("temperature", "20"), where=f"{where}, temperature")
        bath_g_cm3, bath_sd = handbook.baths.water_g_cm3(temp_c), WATER_SD_G_CM3
    else:
        expected = "water, or the density of the bath in g/cm3, such as 0.93"
        bath_g_cm3 = number(bath, where=f"{where}, bath", expected=expected)
        bath_sd = handbook.identify.cues.float_errors.bath_sd_g_cm3
    return hydrostatic_density(
        parse_mass_g(parts["dry"], where=f"{where}, dry"),
        sign * parse_mass_g(hanging, where=f"{where}, hanging", zero_ok=True),
        bath_g_cm3,
        parse_mass_g(parts.get("resolution", "1"), where=f"{where}, resolution"),
        bath_sd,
    )


def _parts(text: str, where: str) -> dict[str, str]:
    """name=value pairs; a comma inside a number does not part them."""
    found: dict[str, str] = {}
    for part in re.split(r"[,;]\s*(?=[A-Za-z]+\s*=)", text):
        name, equals, value = (p.strip() for p in part.partition("="))
        name = name.casefold()
        if not equals or not value or name not in _WEIGHED or name in found:
            raise BadInput(where=where, got=part, expected=_WEIGHED_HELP)
        found[name] = value
    return found


def read_kit(handbook: Handbook, names: Iterable[str]) -> frozenset[str] | None:
    """The kit ids of what a person lists, with or without commas; None where nothing was listed.

    Raises:
        UnknownName: no kit item is called so.
    """
    listed = [n.strip().casefold() for text in names for n in text.split(",") if n.strip()]
    for name in listed:
        if name not in handbook.identify.cues.kit:
            raise UnknownName(where="Kit", got=name, known=handbook.identify.cues.kit)
    return frozenset(listed) if listed else None


def told(piece: Evidence) -> tuple[str, str]:
    """Name and result of a piece of evidence, in the words it is given in."""
    if isinstance(piece, Mark):
        return "mark", piece.text
    if isinstance(piece, Cue):
        return piece.name, piece.value
    if isinstance(piece, FloatTest):
        return f"float:{piece.bath}", piece.outcome.value
    if isinstance(piece, SpotTest):
        return SPOT, f"{piece.odd}/{piece.tested}"
    return "density", f"{piece.density_g_cm3:.4g}±{piece.sd_g_cm3:.2g}"


def identified_json(found: Identified, words: Words) -> dict[str, Any]:
    """The document of `shared/identification.schema.json`."""
    odds = found.posterior
    return {
        "kind": found.kind.id,
        "probabilities": {r: round(p, 9) for r, p in odds.probabilities.items()},
        "most_likely": odds.most_likely,
        "probability": round(odds.probability, 9),
        "entropy_bits": round(odds.entropy_bits, 6),
        "filled": round(odds.filled, 6),
        "conflict": words.reasons(odds.conflict) or None,
        "conflicts": [_reason_json(r, words) for r in odds.conflict],
        "second_look": _reason_json(odds.second_look, words) if odds.second_look else None,
        "next_tests": [
            {
                "test": t.test,
                "bits": round(t.bits, 6),
                "minutes": t.minutes,
                "bits_per_minute": round(t.bits_per_minute, 6),
                "caution": list(t.cautions),
            }
            for t in found.next_tests
        ],
        "evidence": [
            {
                "name": told(w.evidence)[0],
                "result": told(w.evidence)[1],
                "log_likelihood": {r: round(x, 6) for r, x in w.log_likelihood.items()},
            }
            for w in odds.weights
        ],
    }


def _reason_json(reason: Reason, words: Words) -> dict[str, Any]:
    return {"code": reason.code, "values": dict(reason.values), "text": words.reason(reason)}
