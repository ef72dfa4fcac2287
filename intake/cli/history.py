"""`intake history`: everything that was ever told of an item, a bin or a lot."""

from pathlib import Path

import click

from intake.cli.show import print_json


@click.command()
@click.argument("name", metavar="ID")
@click.option("--ledger", required=True, type=click.Path(path_type=Path), help="The table's ledger folder.")
@click.option("--json", "as_json", is_flag=True, help="One JSON document instead of words.")
def history(name: str, *, ledger: Path, as_json: bool) -> None:
    """Tell the whole history of the item, bin or lot ID, oldest first.

    What was undone is told too. A name that two tables had given out before they merged stands for both.
    """
    from intake.desk.hearing import heard
    from intake.desk.history import histories, history_json, line_text
    from intake.handbook.locate import resources
    from intake.ledger import Ledger
    from intake.words import catalogue

    words = catalogue(resources() / "words")
    with heard(Ledger.open(ledger)) as opened:
        found = histories(opened, name)
    if as_json:
        print_json({"name": name, "found": history_json(found, words)})
        return
    for one in found:
        click.echo(words(f"history.of.{one.of.what}", id=one.of.id))
        for line in one.lines:
            click.echo("  " + line_text(line, words))
