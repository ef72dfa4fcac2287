"""Files that leave the house: each is written aside, synced and swapped in, so none is ever half-written."""

import csv
import io
import json
import os
from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path
from typing import Any

from intake.errors import Refusal

_FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r")


def write_file(path: Path, content: bytes) -> None:
    """Put `content` at `path`, whole or not at all.

    Raises:
        Refusal: the disk does not take it; what stood there before still stands.
    """
    aside = path.with_name(f".{path.name}.{os.getpid()}.part")
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        with aside.open("wb") as stream:
            stream.write(content)
            stream.flush()
            os.fsync(stream.fileno())
        aside.replace(path)
    except OSError as error:
        aside.unlink(missing_ok=True)
        raise Refusal(
            f"{path.name} could not be written: {error.strerror}. What stood there before still stands."
        ) from None


def csv_bytes(columns: Sequence[str], rows: Iterable[Mapping[str, object]]) -> bytes:
    """Rows as CSV in UTF-8; text that a spreadsheet would run as a formula gets a leading apostrophe."""
    text = io.StringIO()
    writer = csv.DictWriter(text, columns, lineterminator="\n")
    writer.writeheader()
    writer.writerows({c: _cell(row.get(c)) for c in columns} for row in rows)
    return text.getvalue().encode("utf-8")


def _cell(value: object) -> object:
    if value is None:
        return ""
    if isinstance(value, float):
        return f"{value:.3f}".rstrip("0").rstrip(".")
    if isinstance(value, str) and value.startswith(_FORMULA_STARTS):
        return "'" + value
    return value


def json_bytes(value: Any) -> bytes:
    """A value as indented JSON in UTF-8; NaN and infinity are never written."""
    return (json.dumps(value, ensure_ascii=False, indent=2, allow_nan=False) + "\n").encode("utf-8")
