"""`intake labels`: the tags of a table's bins and the labels of its lots on paper."""

import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

import click
from rich.console import Console
from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn

if TYPE_CHECKING:
    from intake.drawing.parts import Label

MANY = 48
"""Labels from which a progress bar is worth its line: two sheets of A4."""


@click.command()
@click.option(
    "--ledger", required=True, type=click.Path(path_type=Path), help="Folder of the table's ledger."
)
@click.option("--bin", "bins", multiple=True, metavar="ID", help="A bin; may be given several times.")
@click.option("--lot", "lots", multiple=True, metavar="ID", help="A lot; may be given several times.")
@click.option(
    "--sheet",
    type=click.Choice(["a4-3x8", "letter-3x10", "roll-58", "roll-80", "single"]),
    default="single",
    show_default=True,
    help="What the labels are printed on.",
)
@click.option(
    "--start", type=int, default=1, show_default=True, help="First label of the sheet that is still there."
)
@click.option(
    "--out", required=True, type=click.Path(path_type=Path), help="File to write: .pdf, or .png for one page."
)
def labels(
    ledger: Path, bins: tuple[str, ...], lots: tuple[str, ...], sheet: str, start: int, out: Path
) -> None:
    """Write the tags of bins and the labels of lots to a PDF or PNG; where none is named, of all open bins.

    The ledger is only read; somebody may work on it meanwhile.

    Print at 100 %: the line at the foot of a sheet tells whether the printer did.
    """
    from intake.desk.desk import Desk
    from intake.desk.labels import tags_of, write_labels
    from intake.desk.lot_labels import lot_labels_of
    from intake.handbook import Handbook
    from intake.handbook.locate import resources
    from intake.words import catalogue

    words = catalogue(resources() / "words")
    with Desk.read(ledger, Handbook()) as desk:
        tags = tags_of(desk, bins) if bins or not lots else ()
        wanted: list[Label] = [*tags, *lot_labels_of(desk, lots)]
        with _bar(len(wanted), words("label.drawing")) as on_label:
            pages = write_labels(wanted, out, desk, words, stock=sheet, start=start, on_label=on_label)
    click.echo(words("label.written", labels=len(wanted), pages=pages, file=out))


@contextmanager
def _bar(count: int, what: str) -> Iterator[Callable[[int], None]]:
    """Gives what is called after every label; the bar goes to stderr, on a terminal, where there are many."""
    screen = Console(file=sys.stderr)
    with Progress(
        TextColumn(what), BarColumn(), MofNCompleteColumn(), console=screen,
        disable=count < MANY or not screen.is_terminal, transient=True,
    ) as bar:  # fmt: skip
        task = bar.add_task("labels", total=count)
        yield lambda done: bar.update(task, completed=done)
