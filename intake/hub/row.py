"""One event as the hub keeps it."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """An event's number and time, readable with plain SQL, and its bytes exactly as its table wrote them.

    Attributes:
        station: the table that wrote it.
        seq: 1, 2, 3 … at that station.
        id: `station.seq`.
        hlc: its hybrid logical time, sortable text.
        payload: the event as written; its hash is in the next one, so not a byte may change.
    """

    station: str
    seq: int
    id: str
    hlc: str
    payload: bytes


@dataclass(frozen=True, slots=True, kw_only=True)
class Cursor:
    """How far the hub knows a station.

    Attributes:
        seq: number of the last event there.
        whole: every number from 1 to `seq` is there; False where somebody deleted rows.
    """

    seq: int
    whole: bool
