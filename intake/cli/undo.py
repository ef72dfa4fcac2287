"""`intake undo`: the last act on an item, a bin or a lot does not count any more."""

from pathlib import Path

import click

from intake.cli.show import print_json


@click.command()
@click.argument("name", metavar="ID")
@click.option("--ledger", required=True, type=click.Path(path_type=Path), help="The table's ledger folder.")
@click.option("--json", "as_json", is_flag=True, help="One JSON document instead of words.")
def undo(name: str, *, ledger: Path, as_json: bool) -> None:
    """Undo the last act on the item, bin or lot ID, or a finished part by the id of its event.

    Nothing is rubbed out: `intake history ID` still tells it. What plastic cannot do backwards is refused: of a lot
    that was drawn from, the drawing is undone before the shredding.
    """
    from intake.desk.desk import Desk
    from intake.desk.undo import undo_named
    from intake.handbook import Handbook
    from intake.handbook.locate import resources
    from intake.words import catalogue

    with Desk.open(ledger, Handbook()) as desk:
        kind = undo_named(desk, name)
    if as_json:
        print_json({"name": name, "undone": kind})
    else:
        click.echo(catalogue(resources() / "words")("undo.done", name=name, kind=kind))
