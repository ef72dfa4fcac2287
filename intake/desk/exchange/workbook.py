"""The tables as sheets of one workbook, and back. Text is written as text, so no sheet ever runs it."""

import io
import re
import zipfile
import zlib
from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from openpyxl import Workbook, load_workbook
from openpyxl.cell import WriteOnlyCell
from openpyxl.styles import Font
from openpyxl.utils.exceptions import InvalidFileException

from intake.desk.exchange.cells import Value
from intake.desk.exchange.columns import Table
from intake.desk.exchange.formats import Cells
from intake.desk.exchange.rows import Row
from intake.errors import BadInput

MOST_CHARACTERS = 32_767
"""A cell of a workbook holds no more."""
MAX_UNPACKED = 512 * 1024 * 1024
"""[bytes] a workbook that unpacks to more is not one of ours."""

_UNREADABLE = (
    zipfile.BadZipFile, zlib.error, InvalidFileException, SyntaxError, OSError, EOFError, LookupError, ValueError,
    TypeError, AttributeError, ArithmeticError, NotImplementedError, RuntimeError,
)  # fmt: skip
"""What the reader raises on a workbook in which bytes have changed; found by changing bytes."""

_UNWRITABLE = re.compile("[\x00-\x08\x0b\x0c\x0d\x0e-\x1f\ufffe\uffff]|_x(?=[0-9A-Fa-f]{4}_)")
_ESCAPED = re.compile("_x([0-9A-Fa-f]{4})_")


def workbook(tables: Mapping[str, tuple[Table, Sequence[Row]]]) -> bytes:
    """One workbook with a sheet a table, the column names in its first row.

    Raises:
        BadInput: a text is longer than a cell may be.
    """
    sheets = {name: _plain(name, table, rows) for name, (table, rows) in tables.items()}
    book = Workbook(write_only=True)
    for name, lines in sheets.items():
        sheet = book.create_sheet(name)
        sheet.freeze_panes = "A2"
        sheet.append([_heading(sheet, column.name) for column in tables[name][0].columns])
        for line in lines:
            sheet.append([_cell(sheet, value) for value in line])
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


def read_workbook(content: bytes, name: str) -> Mapping[str, tuple[Sequence[str], Sequence[Cells]]]:
    """Column names and rows of every sheet, by its name.

    Raises:
        BadInput: it is no workbook, or unpacks to more than any export.
    """
    expected = "a workbook (.xlsx) as it was exported"
    try:
        with zipfile.ZipFile(io.BytesIO(content)) as packed:
            size = sum(part.file_size for part in packed.infolist())
        if size > MAX_UNPACKED:
            raise BadInput(where=name, got=f"{size / 1e6:.0f} MB unpacked", expected="at most 512 MB")
        book = load_workbook(io.BytesIO(content), read_only=True, data_only=True)
        return {sheet.title: _sheet(sheet) for sheet in book.worksheets}
    except _UNREADABLE as error:
        raise BadInput(where=name, got=str(error)[:80], expected=expected) from None


def _heading(sheet: Any, text: str) -> Any:
    cell = WriteOnlyCell(sheet, value=text)
    cell.font = Font(bold=True)
    return cell


def _plain(name: str, table: Table, rows: Sequence[Row]) -> list[list[Value]]:
    """Every value as a workbook can hold it, looked at before any of it is written."""
    return [[_writable(row[c.name], f"{name}, column {c.name}") for c in table.columns] for row in rows]


def _writable(value: Value, where: str) -> Value:
    if not isinstance(value, str):
        return value
    text = _UNWRITABLE.sub(lambda m: f"_x{ord(m[0][0]):04X}_" + m[0][1:], value)
    if len(text) > MOST_CHARACTERS:
        got, expected = (
            f"{len(text)} characters",
            f"at most {MOST_CHARACTERS} for a workbook; take csv or json",
        )
        raise BadInput(where=where, got=got, expected=expected)
    return text


def _cell(sheet: Any, value: Value) -> Any:
    """A cell; a text keeps the type of text also where it begins like a formula."""
    if not isinstance(value, str):
        return value
    cell = WriteOnlyCell(sheet, value=value)
    cell.data_type = "s"
    return cell


def _sheet(sheet: Any) -> tuple[Sequence[str], Sequence[Cells]]:
    """The rows of a sheet up to the last that holds anything."""
    lines = list(_lines(sheet))
    if not lines:
        return (), ()
    header = [str(c) for c in lines[0] if c is not None]
    width = len(header)
    return header, [dict(zip(header, (*line, *[None] * width), strict=False)) for line in lines[1:]]


def _lines(sheet: Any) -> Iterator[tuple[object, ...]]:
    for line in sheet.iter_rows(values_only=True):
        cells = tuple(_read(cell) for cell in line)
        if any(cell is not None for cell in cells):
            yield cells


def _read(cell: object) -> object:
    return _ESCAPED.sub(lambda m: chr(int(m[1], 16)), cell) if isinstance(cell, str) else cell
