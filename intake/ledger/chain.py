"""The hash chain: each station's events are counted and each carries the hash of the one before."""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from operator import itemgetter
from types import MappingProxyType
from typing import Any

from intake.ledger.envelope import GENESIS, digest, event_id

_HLC = re.compile(r"[0-9]{13}-[0-9]{5}")
_IN_ENVELOPE = ("v", "station", "seq", "id", "hlc", "kind", "prev", "body")
_KEYS = frozenset(_IN_ENVELOPE)
_OF_ENVELOPE = itemgetter(*_IN_ENVELOPE)
_OF_CHAIN = itemgetter("station", "seq", "hlc", "prev")


@dataclass(frozen=True, slots=True, kw_only=True)
class Head:
    """The last event known of a station: its number, its hash and its time."""

    seq: int
    hash: str
    hlc: str


_NOTHING = (0, GENESIS, "")


class Chain:
    """The heads of all stations; every event must fit onto its station's head."""

    def __init__(self) -> None:
        self._heads: dict[str, tuple[int, str, str]] = {}
        self._latest = ""

    @property
    def heads(self) -> Mapping[str, Head]:
        """Station → its last event."""
        return MappingProxyType({station: self.head(station) for station in self._heads})

    @property
    def latest(self) -> str:
        """The latest hybrid time of all events; "" where there are none."""
        return self._latest

    def head(self, station: str) -> Head:
        """The last event of `station`; number 0 where there is none yet."""
        seq, hashed, hlc = self._heads.get(station, _NOTHING)
        return Head(seq=seq, hash=hashed, hlc=hlc)

    def end(self, station: str) -> tuple[int, str]:
        """Number and hash of the last event of `station`; 0 and all zeros where there is none yet."""
        return self._heads.get(station, _NOTHING)[:2]

    def add(self, document: Mapping[str, Any], payload: bytes) -> str | None:
        """Takes the event as its station's new head; says what does not fit, and then takes nothing."""
        fault = envelope_fault(document)
        if fault is not None:
            return fault
        station, seq, hlc, prev = _OF_CHAIN(document)
        last, hashed, before = self._heads.get(station, _NOTHING)
        if seq != last + 1:
            return f"event {seq} of {station} follows event {last}: a gap or a repeat"
        if prev != hashed:
            return f"event {seq} of {station} does not carry the hash of event {last}"
        if hlc <= before:
            return f"event {seq} of {station} is not later than event {last}"
        self.extend(station, seq, hlc, digest(payload))
        return None

    def extend(self, station: str, seq: int, hlc: str, hashed: str) -> None:
        """Takes an event that is known to fit, with its hash."""
        self._heads[station] = (seq, hashed, hlc)
        self._latest = max(self._latest, hlc)

    def copy(self) -> "Chain":
        """Another chain with the same heads, to try events on."""
        other = Chain()
        other._heads, other._latest = dict(self._heads), self._latest
        return other


def envelope_fault(document: Mapping[str, Any]) -> str | None:
    """What is wrong with the envelope of an event; None where it is sound. A newer version may add fields."""
    try:
        v, station, seq, named, hlc, kind, prev, _ = _OF_ENVELOPE(document)
    except KeyError:
        return "it lacks " + ", ".join(sorted(_KEYS - document.keys()))
    if type(v) is not int or v < 1:
        return "its version is not 1 or more"
    if type(seq) is not int or type(station) is not str or named != event_id(station, seq):
        return "its station, number and id do not belong together"
    if type(hlc) is not str or not _HLC.fullmatch(hlc):
        return "its time does not read"
    if type(kind) is not str or type(prev) is not str:
        return "its kind or its hash is no text"
    return None
