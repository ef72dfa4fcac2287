"""One value ↔ one cell. Text that a spreadsheet would run as a formula is guarded, and comes back unguarded."""

import re
from collections.abc import Callable, Mapping
from datetime import UTC, datetime
from math import isfinite
from types import MappingProxyType
from typing import TypeAlias

from intake.desk.exchange.columns import Type

Value: TypeAlias = str | int | float | bool | None
"""What a cell holds; a time is its ISO 8601 text."""

GUARD = "'"
FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r", "\n", "＝", "＋", "－", "＠")
"""What a cell may not begin with. A text that begins with the guard itself is guarded too: nothing is lost."""

_INTEGER = re.compile(r"[+-]?[0-9]{1,18}")
_NUMBER = re.compile(r"[+-]?([0-9]+\.?[0-9]*|\.[0-9]+)([eE][+-]?[0-9]{1,3})?")
_TIME = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}T[0-9]{2}:[0-9]{2}:[0-9]{2}Z")
_EXPECTED: Mapping[Type, str] = MappingProxyType(
    {
        Type.STRING: "text",
        Type.INTEGER: "a whole number",
        Type.NUMBER: "a number with a decimal point",
        Type.BOOLEAN: "true or false",
        Type.DATETIME: "a time such as 2026-11-25T14:05:00Z",
    }
)


class NotOfTypeError(ValueError):
    """A cell that does not hold what its column says; the text says what would be right."""


def guarded(text: str) -> str:
    """`text` as it may stand in a CSV cell."""
    return GUARD + text if text.startswith((*FORMULA_STARTS, GUARD)) else text


def unguarded(cell: str) -> str:
    """The text that was guarded."""
    return cell.removeprefix(GUARD)


def iso_time(ms: int) -> str:
    """[ms] since 1970 as ISO 8601 in UTC, to the second."""
    return datetime.fromtimestamp(ms // 1000, tz=UTC).strftime("%Y-%m-%dT%H:%M:%SZ")


def cell_text(value: Value, of: Type) -> str:
    """The value as CSV text; nothing is an empty cell, and a number keeps every digit."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return "true" if value else "false"
    if of is Type.STRING:
        return guarded(str(value))
    return repr(value) if isinstance(value, float) else str(value)


def value_of(cell: object, of: Type, *, guard: bool) -> Value:
    """The value in a cell, which is text in a CSV file and may be a number in a workbook or in JSON.

    Args:
        cell: as read.
        of: what its column holds.
        guard: True where text was guarded (CSV).

    Raises:
        NotOfTypeError: the cell holds something else.
    """
    if cell is None or cell == "":
        return None
    found = _READERS[of](cell)
    if found is None:
        raise NotOfTypeError(_EXPECTED[of])
    return unguarded(found) if guard and of is Type.STRING and isinstance(found, str) else found


def _string(cell: object) -> Value:
    return cell if isinstance(cell, str) else None


def _integer(cell: object) -> Value:
    if isinstance(cell, str):
        return int(cell) if _INTEGER.fullmatch(cell.strip()) else None
    if isinstance(cell, bool) or not isinstance(cell, (int, float)) or not isfinite(cell):
        return None
    return int(cell) if cell == int(cell) else None


def _number(cell: object) -> Value:
    if isinstance(cell, str):
        return _finite(float(cell)) if _NUMBER.fullmatch(cell.strip()) else None
    return None if isinstance(cell, bool) or not isinstance(cell, (int, float)) else _finite(float(cell))


def _finite(value: float) -> float | None:
    return value if isfinite(value) else None


def _boolean(cell: object) -> Value:
    if isinstance(cell, bool):
        return cell
    return {"true": True, "false": False}.get(cell.strip().casefold()) if isinstance(cell, str) else None


def _datetime(cell: object) -> Value:
    if not isinstance(cell, str) or not _TIME.fullmatch(cell.strip()):
        return None
    try:
        datetime.fromisoformat(cell.strip())
    except ValueError:
        return None
    return cell.strip()


_READERS: Mapping[Type, Callable[[object], Value]] = MappingProxyType(
    {
        Type.STRING: _string,
        Type.INTEGER: _integer,
        Type.NUMBER: _number,
        Type.BOOLEAN: _boolean,
        Type.DATETIME: _datetime,
    }
)
