"""What stands around every fact: which table wrote it, as its how-manieth, when, and after which event."""

import hashlib
import json
import re
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from pydantic_core import from_json

from intake.errors import BadInput
from intake.ledger.events import Body

GENESIS = "0" * 64
"""`prev` of a station's first event."""

MAX_MS = 9_999_999_999_999
"""[ms] last moment that thirteen digits hold, in the year 2286."""

_MAX_TICK = 99_999
_STATION = re.compile(r"[A-Z][A-Z0-9]{0,5}-[0-9a-z]{4,16}")


@dataclass(frozen=True, slots=True, kw_only=True)
class Event:
    """One fact with its envelope.

    Attributes:
        v: version of the event schema it was written by.
        station: id of the collection table that wrote it, letters and a short id (`QT-3f9a1c`).
        seq: 1, 2, 3 … at that station, without gaps.
        hlc: hybrid logical time as sortable text: [ms] since 1970 and a counter.
        id: `station.seq`, unique for ever.
        kind: name of the body's type.
        body: the fact.
        prev: SHA-256 in hex of the station's previous event as written.
    """

    v: int
    station: str
    seq: int
    hlc: str
    id: str
    kind: str
    body: Body
    prev: str

    @property
    def order(self) -> tuple[str, str, int]:
        """Where it stands among all events of all stations; no two events stand at the same place."""
        return self.hlc, self.station, self.seq


def check_station(station: str) -> str:
    """The station id itself.

    Raises:
        BadInput: not letters, a hyphen and a short id.
    """
    if not _STATION.fullmatch(station):
        raise BadInput(where="Station", got=station, expected="letters and a short id, such as QT-3f9a1c")
    return station


def event_id(station: str, seq: int) -> str:
    """The id of a station's event number `seq`."""
    return f"{station}.{seq}"


def wall_ms(hlc: str) -> int:
    """[ms] The wall-clock part of a hybrid time, since 1970."""
    return int(hlc[:13])


def ticks(last: str, now_ms: int) -> Iterator[str]:
    """Hybrid logical times for new events, each later than `last` and than the one before.

    Args:
        last: the latest hybrid time known to this table, or "" where there is none.
        now_ms: [ms] the clock, since 1970; may stand still or go backwards.

    Source: Kulkarni, Demirbas and others, "Logical Physical Clocks", 2014 (from memory).

    Raises:
        BadInput: the clock stands before 1970 or after 2286.
    """
    if not 0 <= now_ms <= MAX_MS:
        raise BadInput(where="Clock", got=now_ms, expected="a moment between 1970 and 2286")
    last_ms, last_tick = (int(last[:13]), int(last[14:])) if last else (-1, 0)
    ms, tick = (now_ms, 0) if now_ms > last_ms else (last_ms, last_tick + 1)
    while True:
        if tick > _MAX_TICK:
            ms, tick = ms + 1, 0
        yield f"{ms:013d}-{tick:05d}"
        tick += 1


_ENCODER = json.JSONEncoder(
    sort_keys=True, separators=(",", ":"), ensure_ascii=False, allow_nan=False, check_circular=False
)


_MAKE = getattr(json.encoder, "c_make_encoder", None)
_PIECES: Callable[[Any, bool], Iterable[str]] = (
    _MAKE(None, _ENCODER.default, json.encoder.encode_basestring, None, ":", ",", True, False, False)
    if _MAKE
    else _ENCODER.iterencode
)
"""What `_ENCODER` would make anew for every event, made once: a third of the time that encoding takes."""


def canonical(document: Mapping[str, Any]) -> bytes:
    """The one way to write a document: keys sorted, no spaces, UTF-8, never a raw line end.

    Raises:
        BadInput: a number that is NaN or infinite, or text that UTF-8 cannot hold.
    """
    return canonical_text(document).encode("utf-8")


def canonical_text(document: Any) -> str:
    """The same as text that UTF-8 can hold.

    Raises:
        BadInput: as for `canonical`.
    """
    try:
        text = "".join(_PIECES(document, False))
        if not text.isascii():
            text.encode("utf-8")
    except (ValueError, TypeError, RecursionError) as error:
        raise BadInput(
            where="Event", got=error, expected="finite numbers and text that can be written as UTF-8"
        ) from None
    return text


def parse(payload: bytes) -> dict[str, Any]:
    """The document that `payload` writes, read by the JSON parser that pydantic brings along.

    Raises:
        ValueError: not one JSON object in UTF-8, or one that is nested more than 200 deep.
    """
    if not (payload.startswith(b"{") and payload.endswith(b"}")):
        raise ValueError("not one JSON object")
    document: dict[str, Any] = from_json(payload, allow_inf_nan=False, cache_strings="keys")
    return document


def digest(payload: bytes) -> str:
    """SHA-256 in hex of an event as written; the station's next event carries it as `prev`."""
    return hashlib.sha256(payload).hexdigest()
