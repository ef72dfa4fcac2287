"""`intake serve`: open the table's app for this machine, or for the phones of a network."""

import signal
from pathlib import Path
from types import FrameType
from typing import TYPE_CHECKING

import click

from intake.words import Words

if TYPE_CHECKING:
    from intake.app.door import Door

FOLDER = "resin-intake"
"""Name of the folder, where programs keep their data on this machine, that holds the ledgers."""


@click.command()
@click.option(
    "--share", is_flag=True, help="Let phones of this network join, each once with a six-digit code."
)
@click.option(
    "--host", help="Address to answer at, where a machine has several.",
    show_default="127.0.0.1; with --share the machine's own",
)  # fmt: skip
@click.option("--port", default=8550, show_default=True, help="Port to answer at; 0 takes any free one.")
@click.option(
    "--ledger", type=click.Path(path_type=Path), help="Folder of the ledger; made if missing.",
    show_default="a folder of your own",
)  # fmt: skip
@click.option(
    "--campaign", type=click.Path(path_type=Path), help="Campaign file (TOML) to work by from now on."
)
@click.option("--demo", is_flag=True, help="Begin with the demo: an afternoon at an invented table.")
def serve(
    host: str | None, port: int, ledger: Path | None, campaign: Path | None, *, share: bool, demo: bool
) -> None:
    """Open the app: take items from the bag to their bins on a phone or in a browser."""
    from intake.app.door import Door
    from intake.app.main import run
    from intake.app.share import chosen_address, own_addresses
    from intake.desk.desk import Desk
    from intake.desk.start import open_table
    from intake.handbook import Handbook
    from intake.handbook.locate import resources
    from intake.words import catalogue

    words = catalogue(resources() / "words", "en")
    door = Door() if share else None
    found = own_addresses() if share else ("127.0.0.1",)
    folder = ledger or Path(click.get_app_dir(FOLDER)) / ("demo" if demo else "table")

    def opened() -> Desk:
        desk = open_table(folder, Handbook(), campaign=campaign, demo=demo)
        if desk.ledger.torn is not None:
            click.echo(words("app.serve.torn"))
        return desk

    signal.signal(signal.SIGTERM, _stop)
    try:
        run(
            opened, host=chosen_address(host, found), port=port, door=door,
            on_ready=lambda address: _tell(words, address, folder, door, () if host else found),
        )  # fmt: skip
    except KeyboardInterrupt:
        click.echo(words("app.serve.stopped"))


def _tell(words: Words, address: str, folder: Path, door: "Door | None", found: tuple[str, ...]) -> None:
    """Where to look, where it is kept, and how phones join."""
    if door is None:
        click.echo(words("app.serve.open", address=address))
        click.echo(words("app.serve.ledger", folder=folder))
        return
    click.echo(words("share.serve.open", address=address, code=door.code))
    _show_way_in(words, address, door, found)
    click.echo(words("app.serve.ledger", folder=folder))


def _show_way_in(words: Words, address: str, door: "Door", found: tuple[str, ...]) -> None:
    """The picture to scan, the way in on this machine, and what to know about sharing."""
    from intake.app.share import here_url, join_url, terminal_qr
    from intake.desk.clock import local_minute

    for row in terminal_qr(join_url(address, door.code)):
        click.echo(click.style(row, fg="black", bg="bright_white"))
    click.echo(words("share.serve.here", address=join_url(here_url(address), door.code)))
    if len(found) > 1:
        click.echo(words("share.serve.chosen", addresses=", ".join(found), address=found[0]))
    click.echo(words("share.serve.how_long", until=local_minute(door.until_ms)))
    click.echo(words("share.serve.plain"))


def _stop(_number: int, _frame: FrameType | None) -> None:
    """Being told to stop is the same as Ctrl+C: the desk is closed and the folder of the web page removed."""
    raise KeyboardInterrupt
