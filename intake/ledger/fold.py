"""State = fold(events): the same events in any order, also with repeats, give the same state."""

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import replace
from types import MappingProxyType
from typing import Any

from intake.errors import Finding
from intake.ledger.envelope import Event
from intake.ledger.events import (
    BinOpened,
    CampaignSet,
    EvidenceAdded,
    Judged,
    LabelPrinted,
    Placed,
    PrepDone,
    Received,
    Revised,
    Source,
    SplitOff,
    Stage,
    TakenBack,
    Undone,
    Unknown,
)
from intake.ledger.prepared import after_prep
from intake.ledger.state import BinState, ItemState, Part, TableState

Undoing = tuple[tuple[str, str, int], str, str]
"""An `Undone`: where it stands among all events, its id, and the id of the event that it undoes."""


def fold(events: Iterable[Event]) -> TableState:
    """The state that follows from `events`, in whatever order and however often they are given."""
    unique = sorted({event.id: event for event in events}.values(), key=lambda event: event.order)
    folding = Folding(dead_of((e.order, e.id, e.body.event) for e in unique if isinstance(e.body, Undone)))
    for event in unique:
        folding.apply(event)
    return folding.state


def dead_of(undoings: Iterable[Undoing]) -> frozenset[str]:
    """Ids of the events that do not count: undone by an `Undone` that is not undone itself."""
    dead: set[str] = set()
    for _, undoing, target in sorted(undoings, reverse=True):
        if undoing not in dead:
            dead.add(target)
    return frozenset(dead)


class Folding:
    """The state in the making. Events are applied in order; `state` is frozen when somebody asks.

    Two tables that were apart may both have used an id. The item or bin that came first keeps it; at the
    other table the id gets that table's name behind it (`3~QT-3f9a1c`), so nothing is mixed up and both are
    seen. An id with a station's name behind it always means that station's item or bin.
    """

    def __init__(self, dead: frozenset[str] = frozenset()) -> None:
        self._dead = dead
        self._campaign: CampaignSet | None = None
        self._items: dict[str, ItemState] = {}
        self._bins: dict[str, BinState] = {}
        self._inside: dict[str, dict[str, None]] = {}
        self._about: dict[str, list[str]] = {}
        self._stale: set[str] = set()
        self._sources: dict[Source, str] = {}
        self._renamed: dict[tuple[str, str, str], str] = {}
        self._owner: dict[tuple[str, str], str] = {}
        self._troubles: list[Finding] = []
        self._unread: list[str] = []
        self._frozen: TableState | None = None
        self._acts: Mapping[type[Any], Callable[[Event, Any], None]] = {
            CampaignSet: self._campaign_set,
            Received: self._received,
            Revised: self._revised,
            EvidenceAdded: self._evidence_added,
            Judged: self._judged,
            PrepDone: self._prep_done,
            SplitOff: self._split_off,
            BinOpened: self._bin_opened,
            Placed: self._placed,
            TakenBack: self._taken_back,
            LabelPrinted: self._label_printed,
            Undone: self._undone,
            Unknown: self._unknown,
        }

    @property
    def state(self) -> TableState:
        """The state so far; the same object until another event is applied."""
        if self._frozen is None:
            for name in self._stale:
                inside, about = tuple(self._inside[name]), tuple(self._about[name])
                self._bins[name] = replace(self._bins[name], items=inside, history=about)
            self._stale.clear()
            self._frozen = TableState(
                campaign=self._campaign,
                items=MappingProxyType(dict(self._items)),
                bins=MappingProxyType(dict(self._bins)),
                sources=MappingProxyType(dict(self._sources)),
                undone=self._dead,
                troubles=tuple(self._troubles),
                unread=tuple(self._unread),
            )
        return self._frozen

    def apply(self, event: Event) -> None:
        """Takes the next event; one that was undone leaves no trace."""
        self._frozen = None
        if event.id not in self._dead:
            self._acts[type(event.body)](event, event.body)

    def _campaign_set(self, event: Event, body: CampaignSet) -> None:
        del event
        self._campaign = body

    def _received(self, event: Event, body: Received) -> None:
        item = self._own_name("item", event, body.item, self._items)
        if item is None:
            return
        facts = body if item == body.item else replace(body, item=item)
        self._items[item] = ItemState(id=item, facts=facts, since=event.hlc, history=(event.id,))
        if body.source is not None:
            self._sources.setdefault(body.source, item)

    def _revised(self, event: Event, body: Revised) -> None:
        for item in self._item(event, body.item):
            self._change(event, item, facts=replace(item.facts, **body.changes))

    def _evidence_added(self, event: Event, body: EvidenceAdded) -> None:
        for item in self._item(event, body.item):
            self._change(event, item, evidence=(*item.evidence, body.evidence))

    def _judged(self, event: Event, body: Judged) -> None:
        for item in self._item(event, body.item):
            if body.stage is Stage.RESIN:
                self._change(event, item, resin_verdict=body)
            else:
                self._change(event, item, placing_verdict=body)

    def _prep_done(self, event: Event, body: PrepDone) -> None:
        for item in self._item(event, body.item):
            self._change(event, item, facts=after_prep(item.facts, body), prep=(*item.prep, body))

    def _split_off(self, event: Event, body: SplitOff) -> None:
        for parent in self._item(event, body.parent):
            for item in self._item(event, body.item):
                if item.parent is not None or item.id == parent.id:
                    self._trouble(event, f"{item.id} from {parent.id}", "a part taken off one other item")
                    continue
                part = Part(item=item.id, mass_g=body.mass_g)
                self._change(event, parent, parts=(*parent.parts, part))
                self._change(event, item, parent=parent.id)

    def _bin_opened(self, event: Event, body: BinOpened) -> None:
        name = self._own_name("bin", event, body.bin, self._bins)
        if name is None:
            return
        opened = body if name == body.bin else replace(body, bin=name)
        self._bins[name] = BinState(id=name, opened=opened, since=event.hlc, history=(event.id,))
        self._inside[name], self._about[name] = {}, [event.id]

    def _placed(self, event: Event, body: Placed) -> None:
        for item in self._item(event, body.item):
            for new in self._bin(event, body.bin):
                if item.bin is not None:
                    self._trouble(event, f"{item.id} in {new.id}", f"it lay in {item.bin} and was moved")
                    self._move(event, item.id, item.bin, inside=False)
                self._move(event, item.id, new.id, inside=True)
                self._change(event, item, bin=new.id)

    def _taken_back(self, event: Event, body: TakenBack) -> None:
        for item in self._item(event, body.item):
            for old in self._bin(event, body.bin):
                if item.bin != old.id:
                    self._trouble(event, f"{item.id} from {old.id}", "an item that lies in that bin")
                    continue
                self._move(event, item.id, old.id, inside=False)
                self._change(event, item, bin=None)

    def _label_printed(self, event: Event, body: LabelPrinted) -> None:
        for of in self._bin(event, body.bin):
            self._bins[of.id] = replace(of, labels=(*of.labels, body))
            self._happened(event, of.id)

    def _undone(self, event: Event, body: Undone) -> None:
        """Counted before the folding began: its target is in `_dead`."""

    def _unknown(self, event: Event, body: Unknown) -> None:
        del body
        self._unread.append(event.id)

    def _change(self, event: Event, item: ItemState, **changes: Any) -> None:
        self._items[item.id] = replace(item, history=(*item.history, event.id), **changes)

    def _move(self, event: Event, item: str, name: str, *, inside: bool) -> None:
        """Into the bin or out of it."""
        if inside:
            self._inside[name][item] = None
        else:
            self._inside[name].pop(item, None)
        self._happened(event, name)

    def _happened(self, event: Event, name: str) -> None:
        """Something with the bin: its frozen value is made anew when somebody asks, not once per item."""
        self._about[name].append(event.id)
        self._stale.add(name)

    def _item(self, event: Event, name: str) -> Iterator[ItemState]:
        """The item that the event's station calls `name`; none, with a trouble, where it is missing."""
        found = self._items.get(self._known("item", event, name))
        if found is None:
            self._trouble(event, name, "an item that was received before")
        else:
            yield found

    def _bin(self, event: Event, name: str) -> Iterator[BinState]:
        """The bin that the event's station calls `name`; none, and a trouble, where there is no such bin."""
        found = self._bins.get(self._known("bin", event, name))
        if found is None:
            self._trouble(event, name, "a bin that was opened before")
        else:
            yield found

    def _known(self, what: str, event: Event, name: str) -> str:
        """The id that stands for what the event's station calls `name`."""
        base, mark, station = name.rpartition("~")
        if mark and self._owner.get((what, base)) == station:
            return base
        return self._renamed.get((what, event.station, name), name)

    def _own_name(self, what: str, event: Event, name: str, taken: Mapping[str, object]) -> str | None:
        """The id of a new item or bin; None, and a trouble, where its station reused an id."""
        if name not in taken:
            self._owner[what, name] = event.station
            return name
        mine = f"{name}~{event.station}"
        if self._owner.get((what, name)) == event.station or mine in taken:
            self._trouble(event, name, f"an id that no {what} has yet")
            return None
        self._renamed[what, event.station, name] = mine
        return mine

    def _trouble(self, event: Event, got: str, expected: str) -> None:
        self._troubles.append(Finding(where=f"Event {event.id} ({event.kind})", got=got, expected=expected))
