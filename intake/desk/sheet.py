"""An intake sheet (CSV) → rows that can walk along the table, and a finding for each value that cannot."""

import csv
import hashlib
import io
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from intake.desk.sheet_columns import BY_NAME, COLUMNS
from intake.desk.sheet_row import Row, read_row
from intake.errors import BadInput, Finding, nearest_names
from intake.handbook import Handbook

MAX_BYTES = 64 * 1024 * 1024
"""A sheet above this is not a sheet of one table."""


@dataclass(frozen=True, slots=True, kw_only=True)
class BadRow:
    """A row that cannot be used: its number in the sheet, its text, and what is wrong."""

    number: int
    text: Mapping[str, str]
    findings: tuple[Finding, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """A read sheet: the good rows, the bad ones, and the hash of its content."""

    name: str
    digest: str
    rows: tuple[Row, ...]
    bad: tuple[BadRow, ...]


def read_sheet(path: Path, handbook: Handbook, *, scale_g: float) -> Sheet:
    """Read and check a whole sheet before anything is done with it.

    Args:
        path: CSV in UTF-8 (BOM allowed), columns divided by comma or semicolon.
        handbook: for kinds, cues and baths.
        scale_g: [g] smallest step of the scale, kept with every mass.

    Raises:
        BadInput: the file cannot be read, or its columns are not those of an intake sheet.
    """
    content = _bytes_of(path)
    digest = hashlib.sha256(content).hexdigest()[:16]
    good: list[Row] = []
    bad: list[BadRow] = []
    ids: set[str] = set()
    for number, text in _lines(content, path.name):
        outcome = read_row(text, number, handbook, sheet=path.name, scale_g=scale_g)
        findings = list(outcome) if isinstance(outcome, list) else []
        if isinstance(outcome, Row):
            findings += _identity_findings(outcome, ids, path.name)
        if findings or not isinstance(outcome, Row):
            bad.append(BadRow(number=number, text=text, findings=tuple(findings)))
            continue
        ids.add(outcome.id)
        good.append(outcome)
    if not good and not bad:
        raise BadInput(where=f"Sheet {path.name}", got="", expected="at least one row under the column names")
    return Sheet(name=path.name, digest=digest, rows=tuple(good), bad=tuple(bad))


def _identity_findings(row: Row, ids: set[str], sheet: str) -> Iterator[Finding]:
    """An id stands once in a sheet; a parent stands above its part, and was read well."""
    if row.id in ids:
        where = f"Sheet {sheet}, row {row.number}, column item"
        yield Finding(where=where, got=row.id, expected="an id that no other row has")
    if row.parent and row.parent not in ids:
        where = f"Sheet {sheet}, row {row.number}, column parent"
        yield Finding(where=where, got=row.parent, expected="the id of a good row further up")


def _bytes_of(path: Path) -> bytes:
    try:
        content = path.read_bytes()
    except OSError as error:
        raise BadInput(
            where="Intake sheet", got=path.name, expected=f"a readable file ({error.strerror})"
        ) from None
    if len(content) > MAX_BYTES:
        size = f"{len(content) / 1e6:.0f} MB"
        raise BadInput(where=f"Sheet {path.name}", got=size, expected="at most 64 MB; split it")
    return content


def _lines(content: bytes, name: str) -> Iterator[tuple[int, dict[str, str]]]:
    """Row number as a spreadsheet counts it (the header is row 1) and the row by column name."""
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        where = f"Sheet {name}, byte {error.start + 1}"
        raise BadInput(where=where, got=hex(content[error.start]), expected="text in UTF-8") from None
    head = text.split("\n", 1)[0]
    delimiter = ";" if head.count(";") > head.count(",") else ","
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter)
    try:
        header = [cell.strip().casefold() for cell in next(reader, [])]
        _check_header(header, name)
        for number, cells in enumerate(reader, 2):
            if not any(cell.strip() for cell in cells):
                continue
            padded = [*cells, *[""] * (len(header) - len(cells))]
            row = {column: cell.strip() for column, cell in zip(header, padded, strict=False) if column}
            extra = [cell for cell in cells[len(header) :] if cell.strip()]
            yield number, row | ({"": delimiter.join(extra)} if extra else {})
    except csv.Error as error:
        raise BadInput(where=f"Sheet {name}", got=str(error), expected="plain CSV") from None


def _check_header(header: Sequence[str], name: str) -> None:
    where = f"Sheet {name}, row 1"
    for column in header:
        if column and column not in BY_NAME:
            near = nearest_names(column, BY_NAME)
            expected = (
                f"the column name {' or '.join(near)}"
                if near
                else "one of " + ", ".join(c.name for c in COLUMNS)
            )
            raise BadInput(where=where, got=column, expected=expected)
        if column and header.count(column) > 1:
            raise BadInput(where=where, got=column, expected="each column once")
    for wanted in COLUMNS:
        if wanted.required and wanted.name not in header:
            got = ", ".join(h for h in header if h)[:80]
            raise BadInput(where=where, got=got, expected=f"a column named '{wanted.name}'")
