"""`intake backup` and `intake restore`: a ledger in one file, and back."""

from pathlib import Path

import click

from intake.cli.show import print_json


@click.command()
@click.argument("ledger", type=click.Path(path_type=Path))
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--json", "as_json", is_flag=True, help="One JSON document instead of words.")
def backup(ledger: Path, file: Path, *, as_json: bool) -> None:
    """Copy LEDGER to FILE while the table is in use.

    The copy is checked as it is made, and holds every act that was confirmed before. An older backup of the same
    ledger is replaced; any other file stays.
    """
    from intake.handbook.locate import resources
    from intake.ledger.backup import back_up
    from intake.words import catalogue

    kept = back_up(ledger, file)
    if as_json:
        heads = {name: head.seq for name, head in sorted(kept.heads.items())}
        print_json({"file": str(file), "events": len(kept.payloads), "bytes": kept.size, "stations": heads})
        return
    words = catalogue(resources() / "words")
    click.echo(words("backup.done", file=file, events=len(kept.payloads), bytes=kept.size))


@click.command()
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--ledger", required=True, type=click.Path(path_type=Path), help="A new folder for the ledger.")
@click.option("--json", "as_json", is_flag=True, help="One JSON document instead of words.")
def restore(file: Path, *, ledger: Path, as_json: bool) -> None:
    """Make a ledger of the backup FILE, or of another ledger's folder.

    It holds everything that was recorded, and writes as a table of its own from then on.
    """
    from intake.desk.copies import restore as restore_ledger
    from intake.handbook.locate import resources
    from intake.words import catalogue

    done = restore_ledger(file, ledger)
    if as_json:
        print_json(
            {"ledger": str(ledger), "events": done.events, "was": done.was, "station": done.station,
             "torn_bytes": done.torn}
        )  # fmt: skip
        return
    words = catalogue(resources() / "words")
    click.echo(words("restore.done", ledger=ledger, events=done.events))
    click.echo(words("restore.station", was=done.was, station=done.station))
    if done.torn:
        click.echo(words("restore.torn", bytes=done.torn))
