"""What every way of folding an event needs: the items, bins and lots in the making, and whose names mean what."""

from collections.abc import Container, Iterator
from dataclasses import replace
from typing import Any

from intake.errors import Finding
from intake.ledger.draft import ItemDraft
from intake.ledger.envelope import Event
from intake.ledger.lazy import Drafts, StoredItem
from intake.ledger.state import BinState, ItemState, LotState


class Pieces:
    """Items, bins and lots so far.

    Two tables that were apart may both have used an id. The item, bin or lot that came first keeps it; at the
    other table the id gets that table's name behind it (`3~QT-3f9a1c`), so nothing is mixed up and both are
    seen. An id with a station's name behind it always means that station's.
    """

    def __init__(self) -> None:
        self._done: dict[str, ItemState | StoredItem] = {}
        self._items = Drafts(self._done)
        self._touched: dict[str, None] = {}
        self._bins: dict[str, BinState] = {}
        self._lots: dict[str, LotState] = {}
        self._inside: dict[str, dict[str, None]] = {}
        self._about: dict[str, list[str]] = {}
        self._stale: set[str] = set()
        self._renamed: dict[tuple[str, str, str], str] = {}
        self._owner: dict[tuple[str, str], str] = {}
        self._troubles: list[Finding] = []

    def _settle(self) -> None:
        """Makes the frozen value of every item and bin that something happened to."""
        for name in self._touched:
            self._done[name] = self._items[name].frozen()
        self._touched.clear()
        for name in self._stale:
            inside, about = tuple(self._inside[name]), tuple(self._about[name])
            self._bins[name] = replace(self._bins[name], items=inside, history=about)
        self._stale.clear()

    def _new_item(self, item: ItemDraft) -> None:
        self._items[item.id] = item
        self._touched[item.id] = None

    def _change(self, event: Event, item: ItemDraft, **changes: Any) -> None:
        for name, value in changes.items():
            setattr(item, name, value)
        item.history.append(event.id)
        self._touched[item.id] = None

    def _move(self, event: Event, item: str, name: str, *, inside: bool) -> None:
        """Into the bin or out of it."""
        if inside:
            self._inside[name][item] = None
        else:
            self._inside[name].pop(item, None)
        self._happened(event, name)

    def _happened(self, event: Event, name: str) -> None:
        """Something with the bin: its frozen value is made anew when somebody asks, not once per item."""
        if self._about[name][-1:] != [event.id]:
            self._about[name].append(event.id)
        self._stale.add(name)

    def _item(self, event: Event, name: str) -> Iterator[ItemDraft]:
        """The item that the event's station calls `name`; none, with a trouble, where it is missing."""
        found = self._items.find(self._known("item", event, name))
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

    def _lot(self, event: Event, name: str) -> Iterator[LotState]:
        """The lot that the event's station calls `name`; none, and a trouble, where there is no such lot."""
        found = self._lots.get(self._known("lot", event, name))
        if found is None:
            self._trouble(event, name, "a lot that was shredded before")
        else:
            yield found

    def _known(self, what: str, event: Event, name: str) -> str:
        """The id that stands for what the event's station calls `name`."""
        base, mark, station = name.rpartition("~")
        if mark and self._owner.get((what, base)) == station:
            return base
        return self._renamed.get((what, event.station, name), name)

    def _own_name(self, what: str, event: Event, name: str, taken: Container[str]) -> str | None:
        """The id of a new item, bin or lot; None, and a trouble, where its station reused an id."""
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
