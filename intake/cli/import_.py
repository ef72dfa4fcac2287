"""`intake import`: an export becomes a ledger again."""

from pathlib import Path

import click


@click.command("import")
@click.argument("folder", type=click.Path(path_type=Path))
@click.option(
    "--ledger",
    required=True,
    type=click.Path(path_type=Path),
    help="Ledger to add to; made where there is none.",
)
@click.option("--json", "as_json", is_flag=True, help="One JSON document instead of words.")
def import_(folder: Path, ledger: Path, *, as_json: bool) -> None:
    """Take the events of an export in FOLDER into a ledger; a second time adds nothing.

    The tables of the export are checked against its events and otherwise not used.
    """
    from intake.cli.show import print_json
    from intake.desk.exchange import take
    from intake.handbook import Handbook
    from intake.handbook.locate import resources
    from intake.words import catalogue

    done = take(folder, ledger, Handbook())
    if as_json:
        names = ("added", "known", "items", "bins", "lots", "new")
        print_json({name: getattr(done, name) for name in names})
        return
    words = catalogue(resources() / "words")
    code = "exchange.made" if done.new else "exchange.joined"
    click.echo(words(code, ledger=ledger, added=done.added, known=done.known))
    click.echo(words("exchange.holds", items=done.items, bins=done.bins, lots=done.lots))
