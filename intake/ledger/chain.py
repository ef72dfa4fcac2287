"""The hash chain: each station's events are counted and each carries the hash of the one before."""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any

from intake.ledger.envelope import GENESIS, digest, event_id

_HLC = re.compile(r"[0-9]{13}-[0-9]{5}")
_KEYS = frozenset(("v", "station", "seq", "hlc", "id", "kind", "body", "prev"))


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

    def add(self, document: Mapping[str, Any], payload: bytes) -> str | None:
        """Takes the event as its station's new head; says what does not fit, and then takes nothing."""
        fault = envelope_fault(document) or self._fault(document)
        if fault is None:
            self.extend(document["station"], document["seq"], document["hlc"], digest(payload))
        return fault

    def extend(self, station: str, seq: int, hlc: str, hashed: str) -> None:
        """Takes an event that is known to fit, with its hash."""
        self._heads[station] = (seq, hashed, hlc)
        self._latest = max(self._latest, hlc)

    def copy(self) -> "Chain":
        """Another chain with the same heads, to try events on."""
        other = Chain()
        other._heads, other._latest = dict(self._heads), self._latest
        return other

    def _fault(self, document: Mapping[str, Any]) -> str | None:
        """What keeps the event from being the next of its station."""
        station, seq = document["station"], document["seq"]
        last, hashed, hlc = self._heads.get(station, _NOTHING)
        if seq != last + 1:
            return f"event {seq} of {station} follows event {last}: a gap or a repeat"
        if document["prev"] != hashed:
            return f"event {seq} of {station} does not carry the hash of event {last}"
        if document["hlc"] <= hlc:
            return f"event {seq} of {station} is not later than event {last}"
        return None


def envelope_fault(document: Mapping[str, Any]) -> str | None:
    """What is wrong with the envelope of an event; None where it is sound. A newer version may add fields."""
    if not document.keys() >= _KEYS:
        return "it lacks " + ", ".join(sorted(_KEYS - document.keys()))
    v, station, seq = document["v"], document["station"], document["seq"]
    if type(v) is not int or v < 1:
        return "its version is not 1 or more"
    if type(seq) is not int or type(station) is not str or document["id"] != event_id(station, seq):
        return "its station, number and id do not belong together"
    if type(document["hlc"]) is not str or not _HLC.fullmatch(document["hlc"]):
        return "its time does not read"
    if type(document["kind"]) is not str or type(document["prev"]) is not str:
        return "its kind or its hash is no text"
    return None
