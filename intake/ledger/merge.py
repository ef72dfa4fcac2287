"""Two tables that were apart become one: the union of their events."""

from collections.abc import Sequence
from dataclasses import dataclass

from intake.errors import Finding, Refusal
from intake.ledger.codec import event_of
from intake.ledger.conflicts import Conflict, conflicts, given_out
from intake.ledger.envelope import Event, digest, parse
from intake.ledger.fold import fold
from intake.ledger.ledger import Ledger
from intake.ledger.state import TableState


@dataclass(frozen=True, slots=True, kw_only=True)
class Merged:
    """What a merge brought.

    Attributes:
        added: the events that were new here.
        stations: the other table's stations.
        renamed: ids of items, bins and lots that carry their table's name since, because both tables used the id.
        conflicts: what both tables told of while they were apart, and which word holds.
        troubles: events that do not fit any more, each told and passed over.
    """

    added: tuple[Event, ...]
    stations: tuple[str, ...]
    renamed: tuple[str, ...] = ()
    conflicts: tuple[Conflict, ...] = ()
    troubles: tuple[Finding, ...] = ()


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
    return take_in(ledger, other.payloads())


def take_in(ledger: Ledger, theirs: Sequence[bytes]) -> Merged:
    """The same with the events of a ledger, or of a backup, as they were written there.

    Raises:
        Refusal, NotRecorded: as for `merge`.
    """
    mine, before = ledger.payloads(), ledger.state
    stations = tuple(sorted({_place(payload)[0] for payload in theirs}))
    missing = missing_from(mine, theirs)
    if not missing:
        return Merged(added=(), stations=stations)
    ours = [event_of(parse(payload)) for payload in missing_from(theirs, mine)]
    known = {*before.troubles, *fold(event_of(parse(payload)) for payload in theirs).troubles}
    added = ledger.adopt(missing)
    after = ledger.state
    return Merged(
        added=added,
        stations=stations,
        renamed=tuple(sorted(_names(after) - _names(before))),
        conflicts=conflicts(ours, added, apart=given_out(ours) & given_out(added)),
        troubles=tuple(trouble for trouble in after.troubles if trouble not in known),
    )


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


def _names(state: TableState) -> set[str]:
    """The ids that carry a table's name."""
    return {name for names in (state.items, state.bins, state.lots) for name in names if "~" in name}


def _place(payload: bytes) -> tuple[str, int]:
    doc = parse(payload)
    return doc["station"], doc["seq"]
