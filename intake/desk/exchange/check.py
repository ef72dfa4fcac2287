"""Does a table that was opened elsewhere still say what the events say?"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from itertools import islice
from math import isclose

from intake.desk.exchange.cells import NotOfTypeError, Value, value_of
from intake.desk.exchange.columns import TABLES, Column, Table
from intake.desk.exchange.formats import Cells, Format, read_csv_table, read_json_table, typed_row
from intake.desk.exchange.package import WORKBOOK, check_names, path_of
from intake.desk.exchange.rows import Row, rows_of, told_of
from intake.errors import BadInput, Finding
from intake.handbook import Handbook
from intake.ledger.envelope import Event
from intake.ledger.state import TableState

MOST_FINDINGS = 20
"""More places than this are not told one by one."""
_FIFTEEN_DIGITS = 1e-12
"""[-] what a spreadsheet that keeps fifteen digits may change a number by."""

ReadTable = tuple[Sequence[str], Iterable[Cells]]


def table_findings(
    files: Mapping[str, bytes], form: Format, events: Sequence[Event], state: TableState, handbook: Handbook
) -> tuple[Finding, ...]:
    """The places where tables in these files differ from what the events say; at most `MOST_FINDINGS`.

    A number that a spreadsheet rounded to fifteen digits is the same number. Estimates follow the handbook's
    edition, so of them only the type is looked at.

    Raises:
        BadInput: a file cannot be read, or its columns are not those of the table.
    """
    told = told_of(events, state, handbook)
    findings: list[Finding] = []
    for table, (header, rows) in _tables(files, form):
        file = path_of(table, form) if form is not Format.XLSX else f"{WORKBOOK}, sheet {table.name}"
        if header or form is not Format.JSON:
            check_names(f"{file}, row 1", list(header), table)
        first = 1 if form is Format.JSON else 2
        expected = [] if table.estimated else [typed_row(table, row) for row in rows_of(table.name, told)]
        found = _differences(table, list(rows), expected, file, first, guard=form is Format.CSV)
        findings += islice(found, MOST_FINDINGS - len(findings))
    return tuple(findings)


def _tables(files: Mapping[str, bytes], form: Format) -> Iterator[tuple[Table, ReadTable]]:
    """The tables in the files, read to cells.

    Raises:
        BadInput: a file cannot be read, or a sheet is missing.
    """
    if form is Format.XLSX:
        from intake.desk.exchange.workbook import read_workbook

        sheets = read_workbook(files[WORKBOOK], WORKBOOK)
        for table in TABLES:
            if table.name not in sheets:
                got, expected = ", ".join(sheets), f"also a sheet named '{table.name}'"
                raise BadInput(where=WORKBOOK, got=got, expected=expected)
            yield table, sheets[table.name]
        return
    read = read_csv_table if form is Format.CSV else read_json_table
    for table in TABLES:
        path = path_of(table, form)
        if path in files:
            yield table, read(files[path], path)


def _differences(
    table: Table, rows: Sequence[Cells], expected: Sequence[Row], file: str, first: int, *, guard: bool
) -> Iterator[Finding]:
    """Cells that do not hold what they should, then rows that are missing or too many."""
    for number, row in enumerate(rows, first):
        place = number - first
        wanted = expected[place] if place < len(expected) else None
        for column in table.columns:
            found = _difference(column, row.get(column.name), wanted, guard=guard)
            if found is not None:
                yield Finding(
                    where=f"{file}, row {number}, column {column.name}", got=found[0], expected=found[1]
                )
    if not table.estimated and len(rows) != len(expected):
        yield Finding(
            where=file, got=f"{len(rows)} rows", expected=f"{len(expected)} rows, as the events say"
        )


def _difference(column: Column, cell: object, wanted: Row | None, *, guard: bool) -> tuple[str, str] | None:
    """What a cell holds and what it should; None where it is right."""
    try:
        value = value_of(cell, column.type, guard=guard)
    except NotOfTypeError as error:
        return str(cell), str(error)
    if wanted is None or column.estimated or _same(value, wanted[column.name]):
        return None
    should = wanted[column.name]
    return str(cell or ""), "an empty cell" if should is None else f"{should}, as the events say"


def _same(one: Value, other: Value) -> bool:
    if isinstance(one, float) and isinstance(other, float):
        return isclose(one, other, rel_tol=_FIFTEEN_DIGITS)
    return one == other
