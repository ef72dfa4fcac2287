"""`intake relabel`: a bin is for another colour group."""

from pathlib import Path

import click


@click.command()
@click.argument("bin_id", metavar="BIN")
@click.argument("colour")
@click.option("--ledger", required=True, type=click.Path(path_type=Path), help="The table's ledger folder.")
@click.option("--by", help="Initials of who decided it.")
@click.option("--json", "as_json", is_flag=True, help="One JSON document instead of words.")
def relabel(bin_id: str, colour: str, *, ledger: Path, by: str | None, as_json: bool) -> None:
    """Say that BIN takes another COLOUR group from now on, such as mixed; its tag is printed anew."""
    from intake.cli.bin_act import answer
    from intake.desk.bin_life import relabel_bin, shelf
    from intake.desk.desk import Desk
    from intake.handbook import Handbook
    from intake.handbook.locate import resources
    from intake.words import catalogue

    words, named = catalogue(resources() / "words"), bin_id.strip().upper()
    with Desk.open(ledger, Handbook()) as desk:
        relabel_bin(desk, named, colour, by=by)
        shelved = [b for b in shelf(desk) if b.id == named]
    says = words("bins.relabelled", bin=named, colour=words(f"colour.{shelved[0].colour}"))
    answer("relabel", shelved, says, as_json=as_json)
