"""`intake sort`, one act: check sheet and campaign whole, walk the rows, leave the files; or change nothing."""

import shutil
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from intake.desk.campaign import read_campaign
from intake.desk.desk import Desk
from intake.desk.outputs import write_outputs, write_rejected
from intake.desk.report import Report, report
from intake.desk.sheet import BadRow, Sheet, read_sheet
from intake.desk.sort import Tick, sort_rows, weigh_sheet
from intake.errors import BadInput, ManyFaults
from intake.handbook import Handbook
from intake.ledger.unswept import unswept
from intake.words import Words

Begin = Callable[[int], Tick]
"""Called once with the number of new rows; gives what is called after each group."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Sorted:
    """What a run did: the report of the table, and how many rows of the sheet were new, known and bad."""

    report: Report
    new: int
    known: int
    bad: tuple[BadRow, ...]
    files: tuple[str, ...]
    ledger: Path


def sort_file(
    sheet_path: Path,
    campaign_path: Path,
    out: Path,
    handbook: Handbook,
    words: Words,
    *,
    ledger: Path | None = None,
    skip_bad: bool = False,
    begin: Begin = lambda _rows: lambda _done: None,
) -> Sorted:
    """Sort a sheet into `out` with a new ledger, or into an existing `ledger`.

    Args:
        sheet_path: the intake sheet.
        campaign_path: the campaign file.
        out: folder for the files; made where it is missing.
        handbook: the tables.
        words: the sentences for items.csv.
        ledger: a ledger to append to; None: a new one in `out`/ledger.
        skip_bad: True to process the good rows and list the bad ones in rejected.csv.
        begin: told how many rows there are, for a progress bar.

    Raises:
        BadInput: a file cannot be used, or `out` holds a ledger already.
        ManyFaults: rows or values that cannot be used; nothing was written.
    """
    campaign = read_campaign(campaign_path, handbook)
    sheet = read_sheet(sheet_path, handbook, scale_g=campaign.scale)
    if sheet.bad and not skip_bad:
        raise ManyFaults(f for b in sheet.bad for f in b.findings)
    place = _ledger_place(out, ledger)
    building = place if ledger is not None else out / ".ledger.part"
    if ledger is None:
        shutil.rmtree(building, ignore_errors=True)
    with Desk.open(building, handbook, campaign) as desk:
        with unswept():
            made = _walk(sheet, desk, begin)
        result = report(desk)
        files = write_outputs(out, desk, result, words)
        if sheet.bad:
            write_rejected(out, sheet.bad)
            files = (*files, "rejected.csv")
    if ledger is None:
        building.rename(place)
    return Sorted(
        report=result,
        new=made,
        known=len(sheet.rows) - made,
        bad=sheet.bad,
        files=files,
        ledger=place,
    )


def _walk(sheet: Sheet, desk: Desk, begin: Begin) -> int:
    """Walk the rows that the ledger does not have; gives how many they were."""
    weighed, findings = weigh_sheet(sheet, desk)
    if findings:
        raise ManyFaults(findings)
    tick = begin(len(weighed))
    sort_rows(weighed, sheet, desk, tick)
    return len(weighed)


def _ledger_place(out: Path, ledger: Path | None) -> Path:
    """Where the ledger will lie; one that exists in `out` is never replaced."""
    if ledger is not None:
        return ledger
    place = out / "ledger"
    if place.exists():
        got = str(place)
        expected = "a folder without a ledger; to add to that one give --ledger " + got
        raise BadInput(where="Output folder", got=got, expected=expected)
    return place
