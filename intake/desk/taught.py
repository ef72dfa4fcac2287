"""What weighed shred and finished parts have taught this table, worked out again only when one was told."""

from collections.abc import Iterator

from intake.desk.campaign import Campaign
from intake.desk.facts import item_of
from intake.desk.toolbox import Toolbox
from intake.handbook import Handbook
from intake.ledger.state import LotState, TableState
from intake.table.item import Item
from intake.table.yields.learn import WeighedLot, learned

_Key = tuple[tuple[object, ...], ...]


class Taught:
    """The rooms of one campaign, with what lots and parts so far have taught. Nothing learned is ever stored."""

    def __init__(self, handbook: Handbook, campaign: Campaign) -> None:
        self._handbook, self._campaign = handbook, campaign
        self._fresh = self._tools = Toolbox(handbook, campaign)
        self._seen: TableState | None = None
        self._key: _Key = ((),)

    def tools(self, state: TableState) -> Toolbox:
        """The rooms as they answer in this state; the same object until a lot or part is told or undone."""
        if state is not self._seen:
            key = (*(_facts(state, lot) for lot in state.lots.values()), state.finished)
            if key != self._key:
                self._tools = self._learned(state)
            self._seen, self._key = state, key
        return self._tools

    def _learned(self, state: TableState) -> Toolbox:
        """The rooms after every lot and every part, oldest first."""
        lots = (weighed_lot(lot, state, self._handbook) for lot in state.lots.values())
        model = learned(self._fresh.model, lots)
        finished = tuple(f.made for f in state.finished)
        if model.taught is None and not finished:
            return self._fresh
        return Toolbox(self._handbook, self._campaign, taught=model.taught, finished=finished)


def weighed_lot(lot: LotState, state: TableState, handbook: Handbook) -> WeighedLot:
    """A lot as the yields room takes it."""
    return WeighedLot(
        items=tuple(items_of(lot, state, handbook)),
        mass_g=lot.mass_g,
        resolution_g=lot.shredded.resolution_g,
        tare_g=lot.shredded.tare_g,
        shredder=_known_shredder(lot.shredded.shredder, handbook),
    )


def items_of(lot: LotState, state: TableState, handbook: Handbook) -> Iterator[Item]:
    """The items that were shredded into a lot."""
    for item_id in lot.items:
        item = state.items[item_id]
        yield item_of(item.facts, handbook, split_g=item.split_g)


def _facts(state: TableState, lot: LotState) -> tuple[object, ...]:
    """Everything about a lot that teaches: its weighing, and the facts of what was in it."""
    items = tuple(state.items[i].facts for i in lot.items)
    parts = tuple(state.items[i].parts for i in lot.items)
    return lot.shredded, items, parts


def _known_shredder(name: str | None, handbook: Handbook) -> str | None:
    """A shredder that this handbook no longer knows counts as the campaign's."""
    return name if name in handbook.losses.fines else None
