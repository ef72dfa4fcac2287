"""Last acts: what was done at the table, newest first, and which of it can be undone by one tap."""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum

from intake.desk.desk import Desk
from intake.desk.history import Line
from intake.desk.undo import MOVES_SEVERAL, OF_A_BIN
from intake.ledger.envelope import Event
from intake.ledger.events import LabelPrinted, Undone, Unknown
from intake.ledger.state import ItemState

MOST = 40
"""Acts shown: about an hour at the table."""


class Why(StrEnum):
    """Why an act has no undo of its own."""

    UNDONE = "undone"
    IS_UNDO = "is_undo"
    LABEL = "label"
    LATER = "later"
    GONE = "gone"
    TABLE = "table"
    UNREAD = "unread"


@dataclass(frozen=True, slots=True, kw_only=True)
class LastAct:
    """One event of the ledger as the screen of last acts shows it.

    Attributes:
        line: the event and whether it counts.
        undo: name of the item, bin or lot whose last act it is; empty where it cannot be undone.
        why: why not; None where it can be.
    """

    line: Line
    undo: str = ""
    why: Why | None = None


def last_acts(desk: Desk, most: int = MOST) -> tuple[LastAct, ...]:
    """The last acts at this table, newest first; reads the whole ledger, too slow to be asked while drawing."""
    events = sorted(desk.ledger.events(), key=lambda event: event.order)
    state = desk.state
    ends = _ends(desk, {event.id: event for event in events})
    told = [thing.history for thing in state.items.values()]
    told += [thing.history for thing in state.bins.values()]
    told += [thing.history for thing in state.lots.values()]
    known = {event for history in told for event in history}
    newest = events[-most:][::-1]
    return tuple(_act(event, ends, known, counts=event.id not in state.undone) for event in newest)


def _act(event: Event, ends: Mapping[str, str], known: set[str], *, counts: bool) -> LastAct:
    """One act with its undo, or with the reason why it has none."""
    line, body = Line(counts=counts, event=event), event.body
    why = Why.UNDONE if not counts else None
    if isinstance(body, Unknown):
        why = Why.UNREAD
    elif isinstance(body, Undone):
        why = Why.IS_UNDO
    elif isinstance(body, LabelPrinted):
        why = Why.LABEL
    elif why is None and event.id not in ends:
        why = Why.LATER if event.id in known else Why.TABLE
    name = "" if why else ends[event.id]
    return LastAct(line=line, undo=name, why=why if name or why else Why.GONE)


def _ends(desk: Desk, events: Mapping[str, Event]) -> dict[str, str]:
    """Event → the thing whose last act it is; an empty name where that thing is shredded or gone."""
    state, found = desk.state, {}
    for item in state.items.values():
        last = events[item.history[-1]]
        if not isinstance(last.body, MOVES_SEVERAL):
            found[last.id] = "" if _stays(item) else item.id
    for one in state.bins.values():
        acts = [e for e in one.history if not isinstance(events[e].body, LabelPrinted)]
        if one.lot is None and acts and isinstance(events[acts[-1]].body, OF_A_BIN):
            found[acts[-1]] = one.id
    for lot in state.lots.values():
        acts = [e for e in lot.history if not isinstance(events[e].body, LabelPrinted)]
        found[acts[-1]] = lot.id
    return found


def _stays(item: ItemState) -> bool:
    """True where `undo_last` would refuse: shredded, written off, or taken apart into items of their own."""
    apart = len(item.history) == 1 and bool(item.parts)
    return item.lot is not None or item.written_off is not None or apart
