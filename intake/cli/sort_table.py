"""What `intake sort` says on a terminal: a progress bar on long sheets, a short table, where the files are."""

import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from rich.console import Console
from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn
from rich.table import Table

from intake.cli.show import console, mind_line
from intake.desk.report import ChargeLine
from intake.desk.sort import Tick
from intake.desk.sort_file import Begin, Sorted
from intake.words import Words
from intake.words.figures import interval_text, mass_text, share_text

LONG_SHEET = 200
"""Rows from which a progress bar is worth its line."""


@contextmanager
def progress_of(*, quiet: bool) -> Iterator[Begin]:
    """Gives what `sort_file` calls to begin; the bar goes to stderr and only on long sheets."""
    with Progress(
        TextColumn("Sorting"), BarColumn(), MofNCompleteColumn(), console=Console(file=sys.stderr),
        disable=quiet, transient=True,
    ) as bar:  # fmt: skip

        def begin(rows: int) -> Tick:
            task = bar.add_task("rows", total=rows, visible=rows >= LONG_SHEET)
            return lambda done: bar.advance(task, done)

        yield begin


def show_sorted(done: Sorted, out: Path, words: Words) -> None:
    """The table of verdicts, bins and charges, in words a collector can repeat."""
    screen, made = console(), done.report
    screen.print(f"{made.campaign}: {made.rows} items, {made.pieces} pieces.")
    if done.known:
        screen.print(f"{done.known} rows were in the ledger already and were not added again.")
    screen.print(_verdicts(done))
    if made.bins:
        screen.print(_bins(done))
    for charge in made.charges:
        screen.print(_charge_sentence(charge))
    if done.bad:
        screen.print(
            f"{len(done.bad)} rows could not be used; they are in {out / 'rejected.csv'} with the reason."
        )
    screen.print(mind_line(made.cautions, words), markup=False)
    screen.print(f"Files in {out}: {', '.join(done.files)}. The ledger is {done.ledger}.")


def _verdicts(done: Sorted) -> Table:
    balance, verdicts = done.report.balance, done.report.verdicts
    masses = dict(zip(verdicts, (balance.accepted_g, balance.held_g, balance.refused_g), strict=True))
    table = Table(box=None, pad_edge=False)
    table.add_column("Verdict")
    table.add_column("Items", justify="right")
    table.add_column("Mass", justify="right")
    for verdict, count in verdicts.items():
        table.add_row(str(verdict), str(count), mass_text(masses[verdict]))
    table.add_row("taken off", "", mass_text(balance.removed_g))
    table.add_row("received", str(done.report.rows), mass_text(balance.received_g))
    return table


def _bins(done: Sorted) -> Table:
    table = Table(box=None, pad_edge=False)
    for heading in ("Bin", "Resin", "Colour", "Flow"):
        table.add_column(heading)
    table.add_column("Pieces", justify="right")
    table.add_column("Clean shred (5–95 %)", justify="right")
    for b in done.report.bins:
        flow = f"{b.flow}, filled" if b.filled else b.flow
        table.add_row(b.id, b.resin, b.colour, flow, str(b.pieces), interval_text(b.shred_g))
    return table


def _charge_sentence(charge: ChargeLine) -> str:
    have, need = interval_text(charge.shred_g), interval_text(charge.charge_g)
    chance = share_text(charge.probability_met)
    return f"Charge {charge.id} ({charge.resin}): {have} of {need}; the chance that it is enough is {chance}."
