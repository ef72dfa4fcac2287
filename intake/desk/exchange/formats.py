"""Rows of a table as CSV or JSON bytes, and back to raw cells."""

import csv
import io
import json
from collections.abc import Iterable, Iterator, Mapping, Sequence
from enum import StrEnum
from typing import Any

from intake.desk.exchange.cells import Value, cell_text
from intake.desk.exchange.columns import Table, Type
from intake.desk.exchange.rows import Row
from intake.errors import BadInput

Cells = Mapping[str, object]
"""A row as read: cell by column name."""


class Format(StrEnum):
    """How the tables of an export are written."""

    CSV = "csv"
    JSON = "json"
    XLSX = "xlsx"


def typed_row(table: Table, row: Row) -> dict[str, Value]:
    """The row with every column in it, each value of its column's type; an empty text is no value."""
    return {c.name: _typed(row.get(c.name), c.type) for c in table.columns}


def _typed(value: Value, of: Type) -> Value:
    if value is None or value == "":
        return None
    if of is Type.NUMBER:
        return float(value)
    return str(value) if of is Type.STRING else value


def csv_table(table: Table, rows: Iterable[Row]) -> bytes:
    """The table as RFC 4180 asks: comma, CRLF, UTF-8, names in the first line."""
    text = io.StringIO(newline="")
    writer = csv.writer(text)
    writer.writerow(c.name for c in table.columns)
    for row in rows:
        writer.writerow(cell_text(row[c.name], c.type) for c in table.columns)
    return text.getvalue().encode("utf-8")


def json_table(_table: Table, rows: Iterable[Row]) -> bytes:
    """The table as a JSON list of objects, one a line."""
    lines = (json.dumps(dict(row), ensure_ascii=False, allow_nan=False) for row in rows)
    return ("[\n" + ",\n".join(lines) + "\n]\n").encode("utf-8")


def read_csv_table(content: bytes, name: str) -> tuple[Sequence[str], Iterator[Cells]]:
    """The column names and the rows of a CSV table.

    Raises:
        BadInput: no UTF-8, no CSV, or a row of another length.
    """
    try:
        lines = list(csv.reader(io.StringIO(content.decode("utf-8-sig"), newline=""), strict=True))
    except UnicodeDecodeError as error:
        raise BadInput(where=f"{name}, byte {error.start + 1}", got=hex(content[error.start]),
                       expected="text in UTF-8") from None  # fmt: skip
    except csv.Error as error:
        raise BadInput(where=name, got=str(error), expected="plain CSV") from None
    if not lines:
        raise BadInput(where=name, got="", expected="the column names in the first line")
    header, *body = lines
    for number, cells in enumerate(body, 2):
        if len(cells) != len(header):
            got, expected = f"{len(cells)} cells", f"{len(header)} cells, as in the first row"
            raise BadInput(where=f"{name}, row {number}", got=got, expected=expected)
    return header, (dict(zip(header, cells, strict=True)) for cells in body)


def read_json_table(content: bytes, name: str) -> tuple[Sequence[str], Iterator[Cells]]:
    """The column names and the rows of a JSON table.

    Raises:
        BadInput: it is no list of objects that all have the same names.
    """
    rows = json_of(content, name)
    if not isinstance(rows, list) or not all(isinstance(row, dict) for row in rows):
        raise BadInput(where=name, got=type(rows).__name__, expected="a list of objects")
    header = list(rows[0]) if rows else []
    for number, row in enumerate(rows, 1):
        if set(row) != set(header):
            got = ", ".join(sorted(set(row) ^ set(header)))
            raise BadInput(where=f"{name}, row {number}", got=got, expected="the names of the first row")
    return header, iter(rows)


def json_of(content: bytes, name: str) -> Any:
    """The value that a JSON file holds.

    Raises:
        BadInput: it is no JSON in UTF-8, or nested without end.
    """
    try:
        return json.loads(content.decode("utf-8-sig"))
    except (ValueError, RecursionError) as error:
        raise BadInput(where=name, got=str(error)[:80], expected="JSON in UTF-8") from None
