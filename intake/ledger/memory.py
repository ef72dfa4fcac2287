"""What an open ledger keeps in memory: the events as bytes, the heads of the stations, the folded state."""

from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path
from typing import Any

from intake.ledger.chain import Chain
from intake.ledger.codec import event_of
from intake.ledger.envelope import Event, digest, parse
from intake.ledger.events import Undone
from intake.ledger.fold import Folding, Undoing, dead_of
from intake.ledger.journal import damage
from intake.ledger.records import Group
from intake.ledger.state import TableState

Order = tuple[str, str, int]


class Memory:
    """Grows with the journal; the state is folded anew only after an undo or an event out of order.

    Events are kept as they were written and decoded when looked at: a hundred thousand of them as Python
    objects would fill a phone.
    """

    def __init__(self, payloads: list[bytes]) -> None:
        self.payloads = payloads
        self.chain = Chain()
        self._undoings: list[Undoing] = []
        self._last: Order = ("", "", 0)
        self._in_order = True
        self._behind = False
        self._folding = Folding()

    @property
    def state(self) -> TableState:
        """What follows from all events so far."""
        if self._behind:
            self._refold()
        return self._folding.state

    def read(self, group: Group, path: Path) -> None:
        """Takes in a group as the journal holds it.

        Raises:
            DamagedLedger: a record whose check sum is right holds no event, or none that fits the chain.
        """
        for payload, offset in zip(group.payloads, group.offsets, strict=True):
            try:
                doc = parse(payload)
            except ValueError as error:
                raise damage(path, offset, f"it holds no event ({error})") from None
            fault = self.chain.add(doc, payload)
            if fault is not None:
                raise damage(path, offset, fault)
            self.payloads.append(payload)
            self._take(doc)

    def write(self, events: Sequence[Event], payloads: Sequence[bytes]) -> None:
        """Takes in events that were just recorded; their bytes are in `payloads` already."""
        for event, payload in zip(events, payloads, strict=True):
            self.chain.extend(event.station, event.seq, event.hlc, digest(payload))
            self._note(event.order, event)

    def _take(self, doc: Mapping[str, Any]) -> None:
        """Folds an event in, or only notes that folding must be done anew: then nothing is decoded yet."""
        order = (doc["hlc"], doc["station"], doc["seq"])
        if self._behind and doc["kind"] != Undone.__name__:
            self._in_order = self._in_order and order > self._last
            self._last = max(self._last, order)
        else:
            self._note(order, event_of(doc))

    def _note(self, order: Order, event: Event) -> None:
        """Folds an event in where that can be done at the end."""
        self._in_order = self._in_order and order > self._last
        self._last = max(self._last, order)
        if isinstance(event.body, Undone):
            self._undoings.append((order, event.id, event.body.event))
            self._behind = True
        if self._behind or not self._in_order:
            self._behind = True
        else:
            self._folding.apply(event)

    def _refold(self) -> None:
        """Folds all events from the first."""
        folding = Folding(dead_of(self._undoings))
        for doc in self._ordered():
            folding.apply(event_of(doc))
        self._folding, self._behind = folding, False

    def _ordered(self) -> Iterator[dict[str, Any]]:
        """All documents in their order among all stations."""
        if self._in_order:
            return map(parse, self.payloads)
        keys = []
        for place, payload in enumerate(self.payloads):
            doc = parse(payload)
            keys.append((doc["hlc"], doc["station"], doc["seq"], place))
        return (parse(self.payloads[key[3]]) for key in sorted(keys))
