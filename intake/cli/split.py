"""`intake split`: some items of a bin go into a new one."""

from pathlib import Path

import click


@click.command()
@click.argument("bin_id", metavar="BIN")
@click.argument("items", metavar="ITEM...", nargs=-1, required=True)
@click.option("--ledger", required=True, type=click.Path(path_type=Path), help="The table's ledger folder.")
@click.option("--by", help="Initials of who moved them.")
@click.option("--json", "as_json", is_flag=True, help="One JSON document instead of words.")
def split(bin_id: str, items: tuple[str, ...], *, ledger: Path, by: str | None, as_json: bool) -> None:
    """Put some items of BIN, by their ids, into a new bin that takes the same."""
    from intake.cli.bin_act import answer
    from intake.desk.bin_life import shelf, split_bin
    from intake.desk.desk import Desk
    from intake.handbook import Handbook
    from intake.handbook.locate import resources
    from intake.words import catalogue

    words = catalogue(resources() / "words")
    with Desk.open(ledger, Handbook()) as desk:
        new = split_bin(desk, bin_id, items, by=by)
        shelved = [b for b in shelf(desk) if b.id in (bin_id.strip().upper(), new)]
    moved = next(b.items for b in shelved if b.id == new)
    says = words("bins.split", bin=bin_id.strip().upper(), new=new, items=moved)
    answer("split", shelved, says, as_json=as_json)
