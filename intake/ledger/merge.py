"""Two tables that were apart become one: the union of their events."""

from collections.abc import Sequence
from dataclasses import dataclass

from intake.errors import Refusal
from intake.ledger.envelope import Event, digest, parse
from intake.ledger.ledger import Ledger


@dataclass(frozen=True, slots=True, kw_only=True)
class Merged:
    """What a merge brought: the events that were new here, and the other table's stations."""

    added: tuple[Event, ...]
    stations: tuple[str, ...]


def merge(ledger: Ledger, other: Ledger) -> Merged:
    """Takes the events of `other` that `ledger` lacks, as they were written, in one group.

    A ledger holds the first n events of each station it knows, so what is missing is what stands behind its
    own last one. Merging again adds nothing, and the state does not depend on who took whose events, or when:
    `fold` puts all of them into one order.

    Raises:
        Refusal: both know a station under the same number with different events. That happens when a copied
            ledger goes on as the station it was copied from; nothing is taken then.
        NotRecorded: the disk refused.
    """
    theirs = other.payloads()
    missing = missing_from(ledger.payloads(), theirs)
    added = ledger.adopt(missing) if missing else ()
    return Merged(added=added, stations=tuple(sorted(other.heads)))


def missing_from(ours: Sequence[bytes], theirs: Sequence[bytes]) -> list[bytes]:
    """The events of `theirs` that `ours` lacks, each station's in its order.

    Raises:
        Refusal: the two tell different things about one station.
    """
    known = {_place(payload): digest(payload) for payload in ours}
    missing = []
    for payload in theirs:
        place = _place(payload)
        mine = known.get(place)
        if mine is None:
            missing.append(payload)
        elif mine != digest(payload):
            raise Refusal(
                f"Both ledgers hold an event {place[1]} of station {place[0]}, and they differ: one is "
                "a copy that went on under the same name. Nothing was merged."
            )
    return missing


def _place(payload: bytes) -> tuple[str, int]:
    doc = parse(payload)
    return doc["station"], doc["seq"]
