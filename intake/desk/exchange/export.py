"""`intake export`: everything a table knows, in open files that its owner can take anywhere."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from intake.desk import clock
from intake.desk.exchange.cells import iso_time
from intake.desk.exchange.columns import TABLES, Table
from intake.desk.exchange.folder import write_folder
from intake.desk.exchange.formats import Format, csv_table, json_table, typed_row
from intake.desk.exchange.package import DESCRIPTOR, EVENTS, descriptor, path_of
from intake.desk.exchange.rows import Row, rows_of, told_of
from intake.desk.files import json_bytes
from intake.handbook import Handbook
from intake.ledger import Ledger

Tables = Mapping[str, tuple[Table, Sequence[Row]]]


@dataclass(frozen=True, slots=True, kw_only=True)
class Exported:
    """What was written: the file names, and how many rows each table has and how many events there are."""

    files: tuple[str, ...]
    rows: Mapping[str, int]
    events: int


def export(ledger: Path, out: Path, handbook: Handbook, form: Format = Format.CSV) -> Exported:
    """Write all tables, the events and their descriptor into `out`, whole or not at all.

    Args:
        ledger: folder of the ledger; it is only read.
        out: a new or empty folder, or an earlier export, which is replaced.
        handbook: for the estimates.
        form: of the tables; the events are always JSON lines.

    Raises:
        BadInput: no ledger, or `out` cannot be written or holds something else.
        DamagedLedger: the journal does not read as it was written.
    """
    with Ledger.open(ledger) as opened:
        payloads, state = opened.payloads(), opened.state
        tables = tables_of(opened, handbook)
    files = table_files(tables, form) | {EVENTS: b"".join(p + b"\n" for p in payloads)}
    named = state.campaign.campaign.get("name") if state.campaign else ""
    described = descriptor(
        files, form, title=str(named or ""), created=iso_time(clock.now_ms()), edition=handbook.edition,
        events=len(payloads),
    )  # fmt: skip
    files[DESCRIPTOR] = json_bytes(described)
    write_folder(out, files, ours=_every_name())
    rows = {name: len(rows) for name, (_, rows) in tables.items()}
    return Exported(files=tuple(sorted(files)), rows=rows, events=len(payloads))


def tables_of(ledger: Ledger, handbook: Handbook) -> Tables:
    """Every table with its rows, each value of its column's type."""
    told = told_of(tuple(ledger.events()), ledger.state, handbook)
    return {t.name: (t, [typed_row(t, row) for row in rows_of(t.name, told)]) for t in TABLES}


def table_files(tables: Tables, form: Format) -> dict[str, bytes]:
    """The tables as files by name.

    Raises:
        BadInput: a text is longer than a cell of a workbook may be.
    """
    if form is Format.XLSX:
        from intake.desk.exchange.workbook import workbook

        return {path_of(TABLES[0], form): workbook(tables)}
    write = csv_table if form is Format.CSV else json_table
    return {path_of(table, form): write(table, rows) for table, rows in tables.values()}


def _every_name() -> set[str]:
    """File names of exports in any format."""
    return {DESCRIPTOR, EVENTS, *(path_of(table, form) for table in TABLES for form in Format)}
