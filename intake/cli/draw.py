"""`intake draw`: part of a lot went into a charge."""

from pathlib import Path

import click

from intake.units import parse_mass_g


@click.command()
@click.argument("lot")
@click.argument("mass")
@click.option("--charge", required=True, help="The charge of the campaign that it went into.")
@click.option("--ledger", required=True, type=click.Path(path_type=Path), help="The table's ledger folder.")
@click.option("--by", help="Initials of who drew it.")
@click.option("--json", "as_json", is_flag=True, help="One JSON document instead of words.")
def draw(lot: str, mass: str, *, charge: str, ledger: Path, by: str | None, as_json: bool) -> None:
    """Record that MASS of LOT (such as 420 g) went into a charge."""
    from intake.cli.lot_act import answer
    from intake.desk.cautions import COMMANDS, cautions_shown
    from intake.desk.desk import Desk
    from intake.desk.draw import draw as draw_now
    from intake.handbook import Handbook
    from intake.handbook.locate import resources
    from intake.table.resins import ResinId
    from intake.words import catalogue

    mass_g = parse_mass_g(mass, where="MASS")
    words = catalogue(resources() / "words")
    with Desk.open(ledger, Handbook()) as desk:
        line = draw_now(desk, lot, charge, mass_g, by=by)
        mind = cautions_shown(desk.handbook, COMMANDS["draw"], [ResinId(line.resin)])
    says = [] if line.verdict else [words("lots.test_first", lot=line.id)]
    answer("draw", line, says, mind, words, as_json=as_json)
