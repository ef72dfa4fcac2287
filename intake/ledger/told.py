"""What was told of every item and lot, event by event, as far as it counts: the history behind the state."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from intake.ledger.draft import ItemDraft
from intake.ledger.envelope import Event
from intake.ledger.events import Undone
from intake.ledger.fold import Folding, dead_of
from intake.ledger.state import ItemState, LotState


@dataclass(frozen=True, slots=True, kw_only=True)
class ItemTold:
    """One event that counts, with an item as it was before and after it."""

    event: Event
    before: ItemState
    after: ItemState

    @property
    def moved(self) -> bool:
        """True where the item lies somewhere else after it."""
        where = (self.before.bin, self.before.lot, self.before.written_off)
        return where != (self.after.bin, self.after.lot, self.after.written_off)


@dataclass(frozen=True, slots=True, kw_only=True)
class LotTold:
    """One event that counts, with a lot as it was before and after it."""

    event: Event
    before: LotState
    after: LotState


@dataclass(frozen=True, slots=True, kw_only=True)
class History:
    """All that was told of items and lots after they came to be, oldest first."""

    items: tuple[ItemTold, ...]
    lots: tuple[LotTold, ...]


def history_of(events: Iterable[Event]) -> History:
    """The history behind `fold(events)`; the order in which the events are given does not matter."""
    unique = sorted({event.id: event for event in events}.values(), key=lambda event: event.order)
    listening = _Listening(
        dead_of((e.order, e.id, e.body.event) for e in unique if isinstance(e.body, Undone))
    )
    for event in unique:
        listening.apply(event)
    return History(items=tuple(listening.of_items), lots=tuple(listening.of_lots))


class _Listening(Folding):
    """Folding that notes every change of an item or a lot."""

    def __init__(self, dead: frozenset[str]) -> None:
        super().__init__(dead)
        self.of_items: list[ItemTold] = []
        self.of_lots: list[LotTold] = []

    def _change(self, event: Event, item: ItemDraft, **changes: Any) -> None:
        before = item.frozen()
        super()._change(event, item, **changes)
        self.of_items.append(ItemTold(event=event, before=before, after=item.frozen()))

    def _of_lot(self, event: Event, lot: LotState, **changes: Any) -> None:
        super()._of_lot(event, lot, **changes)
        self.of_lots.append(LotTold(event=event, before=lot, after=self._lots[lot.id]))
