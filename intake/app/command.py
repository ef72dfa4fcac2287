"""`intake serve`: open the table's app for this machine, or for the phones of a network."""

import signal
from pathlib import Path
from types import FrameType

import click

from intake.words import Words

FOLDER = "resin-intake"
"""Name of the folder, where programs keep their data on this machine, that holds the ledgers."""


@click.command()
@click.option("--host", default="127.0.0.1", show_default=True, help="Address to answer at.")
@click.option("--port", default=8550, show_default=True, help="Port to answer at; 0 takes any free one.")
@click.option(
    "--ledger", type=click.Path(path_type=Path), help="Folder of the ledger; made if missing.",
    show_default="a folder of your own",
)  # fmt: skip
@click.option(
    "--campaign", type=click.Path(path_type=Path), help="Campaign file (TOML) to work by from now on."
)
@click.option("--demo", is_flag=True, help="Begin with the demo: an afternoon at an invented table.")
def serve(host: str, port: int, ledger: Path | None, campaign: Path | None, *, demo: bool) -> None:
    """Open the app: take items from the bag to their bins on a phone or in a browser."""
    from intake.app.main import run
    from intake.desk.desk import Desk
    from intake.desk.start import open_table
    from intake.handbook import Handbook
    from intake.handbook.locate import resources
    from intake.words import catalogue

    words = catalogue(resources() / "words", "en")
    folder = ledger or Path(click.get_app_dir(FOLDER)) / ("demo" if demo else "table")

    def opened() -> Desk:
        desk = open_table(folder, Handbook(), campaign=campaign, demo=demo)
        if desk.ledger.torn is not None:
            click.echo(words("app.serve.torn"))
        return desk

    signal.signal(signal.SIGTERM, _stop)
    try:
        run(opened, host=host, port=port, on_ready=lambda address: _tell(words, address, host, folder))
    except KeyboardInterrupt:
        click.echo(words("app.serve.stopped"))


def _tell(words: Words, address: str, host: str, folder: Path) -> None:
    """Where to look, where it is kept, and who else can look."""
    from intake.app.server import LOOPBACK

    click.echo(words("app.serve.open", address=address))
    click.echo(words("app.serve.ledger", folder=folder))
    if host not in LOOPBACK:
        click.echo(words("app.serve.open_to_all"))


def _stop(_number: int, _frame: FrameType | None) -> None:
    """Being told to stop is the same as Ctrl+C: the desk is closed and the folder of the web page removed."""
    raise KeyboardInterrupt
