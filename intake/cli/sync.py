"""`intake sync`: exchange a ledger's events with the other tables through a database."""

from pathlib import Path

import click

from intake.cli.show import print_json


@click.command()
@click.option(
    "--ledger", required=True, type=click.Path(path_type=Path), help="Folder of this table's ledger."
)
@click.option(
    "--hub",
    required=True,
    envvar="INTAKE_HUB",
    help="postgresql://name@computer/database, or INTAKE_HUB. Keep the password in PGPASSWORD or ~/.pgpass.",
)
@click.option("--json", "as_json", is_flag=True, help="One JSON document instead of words.")
def sync(ledger: Path, hub: str, *, as_json: bool) -> None:
    """Send this table's events to the HUB and take those of the other tables.

    Broken off, it loses nothing: run it again and it goes on. Run twice, it changes nothing.
    """
    from intake.desk.sync import sync_folder
    from intake.handbook.locate import resources
    from intake.hub import open_hub
    from intake.words import catalogue

    with open_hub(hub) as opened:
        done, name = sync_folder(ledger, opened), opened.name
    events = sum(done.stations.values())
    if as_json:
        print_json(
            {"hub": name, "sent": done.sent, "taken": done.taken, "events": events,
             "stations": dict(done.stations)}
        )  # fmt: skip
        return
    words = catalogue(resources() / "words")
    click.echo(words("sync.done", hub=name, sent=done.sent, taken=done.taken))
    click.echo(words("sync.knows", events=events, tables=len(done.stations)))
