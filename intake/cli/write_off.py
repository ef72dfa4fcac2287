"""`intake write-off`: a bin, or part of a lot, is gone."""

from pathlib import Path

import click

from intake.units import parse_mass_g


@click.command(name="write-off")
@click.argument("name", metavar="ID")
@click.argument("mass", required=False)
@click.option("--reason", required=True, help="Why, such as spilled or got wet.")
@click.option("--ledger", required=True, type=click.Path(path_type=Path), help="The table's ledger folder.")
@click.option("--by", help="Initials of who says so.")
@click.option("--json", "as_json", is_flag=True, help="One JSON document instead of words.")
def write_off(
    name: str, mass: str | None, *, reason: str, ledger: Path, by: str | None, as_json: bool
) -> None:
    """Record that the bin or lot called ID is gone; of a lot also MASS alone (such as 120 g)."""
    from intake.cli.bin_act import answer as answer_bins
    from intake.cli.lot_act import answer as answer_lot
    from intake.desk.bin_life import shelf
    from intake.desk.desk import Desk
    from intake.desk.write_off import write_off as write_off_now
    from intake.handbook import Handbook
    from intake.handbook.locate import resources
    from intake.words import catalogue

    mass_g = None if mass is None else parse_mass_g(mass, where="MASS")
    words = catalogue(resources() / "words")
    with Desk.open(ledger, Handbook()) as desk:
        line = write_off_now(desk, name, reason, mass_g=mass_g, by=by)
        shelved = [b for b in shelf(desk) if line is None and b.id == name.strip().upper()]
    if line is not None:
        answer_lot("write-off", line, [], [], words, as_json=as_json)
    else:
        says = words("bins.written_off", bin=shelved[0].id, reason=reason.strip())
        answer_bins("write-off", shelved, says, as_json=as_json)
