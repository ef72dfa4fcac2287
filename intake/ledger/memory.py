"""What an open ledger keeps in memory: the events as bytes, the heads of the stations, the folded state."""

from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path
from typing import Any

from intake.errors import BadInput
from intake.ledger.chain import Chain
from intake.ledger.codec import event_of
from intake.ledger.envelope import Event, canonical, parse
from intake.ledger.events import Undone
from intake.ledger.fold import Undoing, dead_of
from intake.ledger.journal import damage
from intake.ledger.kept_fold import KeptFolding
from intake.ledger.records import Group
from intake.ledger.snapshot import NotUsableError, Snapshot
from intake.ledger.state import TableState
from intake.ledger.unswept import unswept

Order = tuple[str, str, int]

_WAITING = 256
"""Events that may wait to be folded: as many as are folded while a person lifts a finger."""


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
        self._folding = KeptFolding()
        self._unfolded: list[Event] = []

    @property
    def state(self) -> TableState:
        """What follows from all events so far."""
        self._settle()
        if self._behind:
            self._refold()
        return self._folding.state

    def read(self, group: Group, path: Path) -> None:
        """Takes in a group as the journal holds it.

        Raises:
            DamagedLedger: a record whose check sum is right holds no event, or none that fits the chain.
        """
        self._settle()
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

    def put_aside(self) -> tuple[dict[str, Any], list[bytes]]:
        """Everything but the events themselves, for a snapshot: plain values, and the items, a line each."""
        fold = (self.state, self._folding.plain())[1]
        rest = {
            "fold": fold,
            "undoings": [[*order, event, target] for order, event, target in self._undoings],
            "last": list(self._last),
            "in_order": self._in_order,
        }
        lines = (line if isinstance(line, bytes) else canonical(line) for line in self._folding.item_lines())
        return rest, list(lines)

    def take_up(self, snapshot: Snapshot, payloads: list[bytes]) -> None:
        """Stands where the snapshot stood; `payloads` are the events up to there.

        Raises:
            NotUsableError: the snapshot was not written by this program; nothing was taken up.
        """
        rest = snapshot.rest
        try:
            folding = KeptFolding.of(rest["fold"], snapshot.lines)
            undoings = [((hlc, s, seq), event, target) for hlc, s, seq, event, target in rest["undoings"]]
            hlc, station, seq = rest["last"]
            in_order = bool(rest["in_order"])
        except (ValueError, TypeError, KeyError, AttributeError, BadInput):
            raise NotUsableError("it was written by another version of this program") from None
        self._folding, self._undoings, self._in_order = folding, undoings, in_order
        self._last = (hlc, station, seq)
        for name, head in snapshot.heads.items():
            self.chain.extend(name, head.seq, head.hlc, head.hash)
        self.payloads.extend(payloads)

    def write(self, events: Sequence[Event], hashes: Sequence[str]) -> None:
        """Takes in events that were just recorded; their bytes are in `payloads` already.

        They are folded when somebody asks for the state: whoever recorded them is told first that it is done.
        """
        for event, hashed in zip(events, hashes, strict=True):
            self.chain.extend(event.station, event.seq, event.hlc, hashed)
        self._unfolded.extend(events)
        if len(self._unfolded) > _WAITING:
            self._settle()

    def _settle(self) -> None:
        """Folds what was recorded since the state was asked for last."""
        for event in self._unfolded:
            self._note(event.order, event)
        self._unfolded.clear()

    def _take(self, doc: Mapping[str, Any]) -> None:
        """Folds an event in, or only notes that folding must be done anew: then nothing is decoded yet."""
        order = (doc["hlc"], doc["station"], doc["seq"])
        if self._behind and doc["kind"] != Undone.__name__:
            self._stand(order)
        else:
            self._note(order, event_of(doc))

    def _note(self, order: Order, event: Event) -> None:
        """Folds an event in where that can be done at the end."""
        self._stand(order)
        if type(event.body) is Undone:
            self._undoings.append((order, event.id, event.body.event))
            self._behind = True
        if self._behind or not self._in_order:
            self._behind = True
        else:
            self._folding.apply(event)

    def _stand(self, order: Order) -> None:
        """Notes whether the event stands behind all before it."""
        if order > self._last:
            self._last = order
        else:
            self._in_order = False

    def _refold(self) -> None:
        """Folds all events from the first."""
        folding = KeptFolding(dead_of(self._undoings))
        with unswept():
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
