"""Where two tables that were apart told different things of one item, bin or lot; and what holds then.

The rule: all events of all tables stand in one order (hybrid time, then table, then number). A later fact replaces
an earlier one, and an item lies where it was put last. A step with physical successors is never replaced: of two
shreddings of one bin the first holds, and the second is told as a trouble and changes nothing.
"""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any

from intake.ledger.envelope import Event
from intake.ledger.events import (
    BinMerged,
    BinOpened,
    BinRelabelled,
    BinSplit,
    CampaignSet,
    Judged,
    LotAdjusted,
    Placed,
    PrepDone,
    Received,
    Regrouped,
    Revised,
    Shredded,
    TakenBack,
    Undone,
    WrittenOff,
)

CLOSED = "shredded or written off"
"""The one side of a bin that the first word settles: what is shredded is shredded."""

Subject = tuple[str, str]
"""What was told of, and which side of it: ("a1", "gross_g"), ("QT-01", "shredded")."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Conflict:
    """Both tables told of the same thing; the last events of each side about it.

    Attributes:
        about: id of the item, bin or lot; "campaign" for the campaign.
        what: which side of it: the name of a fact, "place", "resin verdict" …
        holds: id of the event that holds.
        passed: id of the other table's event, which is kept and does not hold.
    """

    about: str
    what: str
    holds: str
    passed: str


def conflicts(
    ours: Iterable[Event], theirs: Iterable[Event], *, apart: frozenset[str]
) -> tuple[Conflict, ...]:
    """Everything that both sides told of while they were apart.

    Args:
        ours: events that the other table had not.
        theirs: events that this table had not.
        apart: ids that both gave out themselves: those are different things and get different names.
    """
    ours, theirs = tuple(ours), tuple(theirs)
    undone = {e.body.event for e in (*ours, *theirs) if isinstance(e.body, Undone)}
    mine, other = _told(ours, apart, undone), _told(theirs, apart, undone)
    found = []
    for subject in sorted(mine.keys() & other.keys()):
        first, last = sorted((mine[subject], other[subject]), key=lambda event: event.order)
        holds, passed = (first, last) if subject[1] == CLOSED else (last, first)
        if holds.body != passed.body:
            found.append(Conflict(about=subject[0], what=subject[1], holds=holds.id, passed=passed.id))
    return tuple(found)


def _told(events: Iterable[Event], apart: frozenset[str], undone: set[str]) -> dict[Subject, Event]:
    """The event of one side that counts, for everything it told of."""
    found: dict[Subject, Event] = {}
    for event in sorted(events, key=lambda event: event.order):
        for subject in _subjects(event):
            if subject[0] in apart or event.id in undone:
                continue
            if subject[1] == CLOSED:
                found.setdefault(subject, event)
            else:
                found[subject] = event
    return found


def _subjects(event: Event) -> Iterable[Subject]:
    """What the event says, so that a later word on the same would replace it."""
    told = _SAYS.get(type(event.body))
    return () if told is None else told(event.body)


_SAYS: Mapping[type[Any], Callable[[Any], Iterable[Subject]]] = MappingProxyType(
    {
        CampaignSet: lambda _: [("campaign", "campaign")],
        Revised: lambda body: [(body.item, name) for name in body.changes],
        PrepDone: lambda body: [(body.item, "label_off" if body.step == "label" else body.step)],
        Judged: lambda body: [(body.item, f"{body.stage.value} verdict")],
        Placed: lambda body: [(body.item, "place")],
        TakenBack: lambda body: [(body.item, "place")],
        Regrouped: lambda body: [(move.item, "place") for move in body.moves],
        BinSplit: lambda body: [(item, "place") for item in body.items],
        BinMerged: lambda body: [(body.bin, "content")],
        BinRelabelled: lambda body: [(body.bin, "tag")],
        Shredded: lambda body: [(body.bin, CLOSED)],
        WrittenOff: lambda body: [(body.bin, CLOSED)] if body.bin else [],
        LotAdjusted: lambda body: [(body.lot, "mass")],
    }
)
_GIVES: Mapping[type[Any], Callable[[Any], str]] = MappingProxyType(
    {
        Received: lambda body: body.item,
        BinOpened: lambda body: body.bin,
        BinSplit: lambda body: body.into,
        Shredded: lambda body: body.lot,
    }
)


def given_out(events: Iterable[Event]) -> frozenset[str]:
    """Ids of items, bins and lots that these events brought into being."""
    return frozenset(_GIVES[type(e.body)](e.body) for e in events if type(e.body) in _GIVES)
