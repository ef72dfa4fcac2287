"""Files that leave the house: each is written aside, synced and swapped in, so none is ever half-written."""

import csv
import io
import json
import os
from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import Any, BinaryIO

from intake.errors import Refusal

_FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r")


@contextmanager
def written_aside(path: Path) -> Iterator[BinaryIO]:
    """A stream whose content stands at `path` once the block ends well; where it does not, nothing changes.

    Raises:
        Refusal: the disk does not take it; what stood there before still stands.
    """
    aside = path.with_name(f".{path.name}.{os.getpid()}.part")
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        with aside.open("wb") as stream:
            yield stream
            stream.flush()
            os.fsync(stream.fileno())
        aside.replace(path)
    except OSError as error:
        raise Refusal(
            f"{path.name} could not be written: {error.strerror}. What stood there before still stands."
        ) from None
    finally:
        with suppress(OSError):
            aside.unlink(missing_ok=True)


def write_file(path: Path, content: bytes) -> None:
    """Put `content` at `path`, whole or not at all.

    Raises:
        Refusal: the disk does not take it; what stood there before still stands.
    """
    with written_aside(path) as stream:
        stream.write(content)


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
