"""`intake merge-bins`: everything of one bin goes into another that takes the same."""

from pathlib import Path

import click


@click.command(name="merge-bins")
@click.argument("from_id", metavar="FROM")
@click.argument("into_id", metavar="INTO")
@click.option("--ledger", required=True, type=click.Path(path_type=Path), help="The table's ledger folder.")
@click.option("--by", help="Initials of who moved them.")
@click.option("--json", "as_json", is_flag=True, help="One JSON document instead of words.")
def merge_bins(from_id: str, into_id: str, *, ledger: Path, by: str | None, as_json: bool) -> None:
    """Put everything of bin FROM into bin INTO; FROM stands empty and open after that."""
    from intake.cli.bin_act import answer
    from intake.desk.bin_life import merge_bins as merge_now
    from intake.desk.bin_life import shelf
    from intake.desk.desk import Desk
    from intake.handbook import Handbook
    from intake.handbook.locate import resources
    from intake.words import catalogue

    words = catalogue(resources() / "words")
    names = [n.strip().upper() for n in (from_id, into_id)]
    with Desk.open(ledger, Handbook()) as desk:
        merge_now(desk, from_id, into_id, by=by)
        shelved = [b for b in shelf(desk) if b.id in names]
    says = words("bins.merged", bin=names[0], into=names[1])
    answer("merge-bins", shelved, says, as_json=as_json)
