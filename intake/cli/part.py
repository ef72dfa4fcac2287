"""`intake part`: a finished part was weighed or measured, and the next charge is better known."""

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from intake.cli.charge import parse_side
from intake.cli.show import console, mind_line, print_json
from intake.errors import BadInput
from intake.spread import Interval
from intake.units import parse_mass_g
from intake.words import Words
from intake.words.figures import interval_text

if TYPE_CHECKING:
    from intake.desk.finish_part import PartOutcome


@click.command()
@click.argument("charge")
@click.option("--ledger", required=True, type=click.Path(path_type=Path), help="The table's ledger folder.")
@click.option("--mass", help="Of the cold, trimmed part, such as 3140 g.")
@click.option("--side", help="One side of the part and the same side of its mould: 291/300mm.")
@click.option("--by", help="Initials of who measured it.")
@click.option("--sure", is_flag=True, help="It is right although it is far from what was expected.")
@click.option("--json", "as_json", is_flag=True, help="One JSON document instead of words.")
def part(
    charge: str,
    *,
    ledger: Path,
    mass: str | None,
    side: str | None,
    by: str | None,
    sure: bool,
    as_json: bool,
) -> None:
    """Record a part that was made from CHARGE and pressed while it cooled: its mass, a side of it, or both."""
    from intake.desk.cautions import COMMANDS, cautions_shown
    from intake.desk.desk import Desk
    from intake.desk.finish_part import finish_part
    from intake.handbook import Handbook
    from intake.handbook.locate import resources
    from intake.words import catalogue

    if mass is None and side is None:
        raise BadInput(where="--mass, --side", got="neither", expected="one of them or both")
    mass_g = None if mass is None else parse_mass_g(mass, where="--mass")
    side_mm, mould_mm = (None, None) if side is None else parse_side(side, where="--side")
    with Desk.open(ledger, Handbook()) as desk:
        done = finish_part(
            desk, charge, mass_g=mass_g, side_mm=side_mm, mould_mm=mould_mm, sure=sure, by=by
        )  # fmt: skip
        mind = cautions_shown(desk.handbook, COMMANDS["part"], desk.campaign.hosts)
    words = catalogue(resources() / "words")
    if as_json:
        print_json({**part_json(done), "cautions": [c.id for c in mind]})
        return
    for line in part_lines(done, words):
        console().print(line, markup=False)
    console().print(mind_line(mind, words), markup=False)


def part_json(done: "PartOutcome") -> dict[str, Any]:
    """The document of `shared/part.schema.json`, without its cautions."""
    return {
        "charge": done.charge,
        "parts": done.parts,
        "shrinkage_percent": {"before": _percent(done.shrinkage_before), "after": _percent(done.shrinkage)},
        "charge_g": {"before": _grams(done.charge_before), "after": _grams(done.charge_g)},
    }


def part_lines(done: "PartOutcome", words: Words) -> list[str]:
    """What a person reads: what the next part will need."""
    low, high = _percent(done.shrinkage)["low"], _percent(done.shrinkage)["high"]
    before, after = interval_text(done.charge_before), interval_text(done.charge_g)
    return [
        words("part.shrinks", low=f"{low:.1f}", high=f"{high:.1f}", parts=done.parts),
        words("part.charge", charge=done.charge, before=before, after=after),
    ]


def _percent(share: Interval) -> dict[str, float]:
    return {n: round(100.0 * getattr(share, n), 3) for n in ("mean", "low", "high")}


def _grams(mass: Interval) -> dict[str, float]:
    return {n: round(getattr(mass, n), 1) for n in ("mean", "low", "high")}
