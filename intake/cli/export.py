"""`intake export`: everything a table knows, in open files."""

from pathlib import Path

import click


@click.command()
@click.option("--ledger", required=True, type=click.Path(path_type=Path), help="Folder of the ledger.")
@click.option(
    "--out",
    required=True,
    type=click.Path(path_type=Path),
    help="New or empty folder; an earlier export is replaced.",
)
@click.option(
    "--format",
    "form",
    default="csv",
    show_default=True,
    type=click.Choice(["csv", "json", "xlsx"]),
    help="Of the tables.",
)
@click.option("--json", "as_json", is_flag=True, help="One JSON document instead of words.")
def export(ledger: Path, out: Path, form: str, *, as_json: bool) -> None:
    """Write all items, bins, lots, evidence, prep, moves and losses as tables, with the events they come from.

    A data package: datapackage.json says what each column holds. `intake import` makes a ledger of it again.
    """
    from intake.cli.show import print_json
    from intake.desk.exchange import Format
    from intake.desk.exchange import export as write
    from intake.handbook import Handbook
    from intake.handbook.locate import resources
    from intake.words import catalogue

    done = write(ledger, out, Handbook(), Format(form))
    if as_json:
        print_json({"files": list(done.files), "rows": dict(done.rows), "events": done.events})
        return
    words = catalogue(resources() / "words")
    counted = ", ".join(f"{count} {words(f'exchange.table.{name}')}" for name, count in done.rows.items())
    click.echo(words("exchange.exported", events=done.events, rows=counted))
    click.echo(words("exchange.files", out=out, files=", ".join(done.files)))
