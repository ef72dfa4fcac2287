"""Folding what happens to bins and lots: they are shredded, floated, drawn from, adjusted, split and merged."""

from collections.abc import Iterable, Iterator
from dataclasses import replace
from typing import Any

from intake.ledger.draft import ItemDraft
from intake.ledger.envelope import Event
from intake.ledger.events import (
    BinMerged,
    BinOpened,
    BinRelabelled,
    BinSplit,
    Drawn,
    Floated,
    LotAdjusted,
    MeltTested,
    Regrouped,
    Shredded,
    WrittenOff,
)
from intake.ledger.folding import Pieces
from intake.ledger.state import BinState, LotState


class BinLife(Pieces):
    """The acts on bins and lots. What does not fit is told as a trouble and never makes a mass negative."""

    def _new_bin(self, event: Event, opened: BinOpened) -> str | None:
        """A new bin's id; None where its station reused an id."""
        name = self._own_name("bin", event, opened.bin, self._bins)
        if name is None:
            return None
        opened = opened if name == opened.bin else replace(opened, bin=name)
        self._bins[name] = BinState(id=name, opened=opened, since=event.hlc, history=(event.id,))
        self._inside[name], self._about[name] = {}, [event.id]
        return name

    def _bin_split(self, event: Event, body: BinSplit) -> None:
        for old in self._open_bin(event, body.bin):
            new = self._new_bin(event, replace(old.opened, bin=body.into))
            if new is None:
                continue
            self._happened(event, old.id)
            for item in self._items_of(event, body.items, old.id):
                self._to_bin(event, item, new)

    def _bin_merged(self, event: Event, body: BinMerged) -> None:
        for old in self._open_bin(event, body.bin):
            for new in self._open_bin(event, body.into):
                if old.id == new.id:
                    self._trouble(event, old.id, "two bins")
                    continue
                self._happened(event, old.id)
                self._happened(event, new.id)
                for name in tuple(self._inside[old.id]):
                    self._to_bin(event, self._items[name], new.id)

    def _bin_relabelled(self, event: Event, body: BinRelabelled) -> None:
        for of in self._open_bin(event, body.bin):
            named = {n: getattr(body, n) for n in ("resin", "colour", "flow", "filled")}
            changed = {n: value for n, value in named.items() if value is not None}
            self._bins[of.id] = replace(of, opened=replace(of.opened, **changed))
            self._happened(event, of.id)

    def _regrouped(self, event: Event, body: Regrouped) -> None:
        for move in body.moves:
            for item in self._item(event, move.item):
                for new in self._open_bin(event, move.bin):
                    if item.bin is None:
                        self._trouble(event, item.id, "an item that lies in a bin")
                        continue
                    self._to_bin(event, item, new.id)

    def _shredded(self, event: Event, body: Shredded) -> None:
        for old in self._open_bin(event, body.bin):
            name = self._own_name("lot", event, body.lot, self._lots)
            if name is None:
                continue
            inside = tuple(self._inside[old.id])
            self._empty(event, old, lot=name)
            self._lots[name] = LotState(
                id=name, bin=old.id, opened=old.opened, shredded=replace(body, bin=old.id, lot=name),
                since=event.hlc, items=inside, left_g=body.mass_g, history=(event.id,),
            )  # fmt: skip

    def _floated(self, event: Event, body: Floated) -> None:
        for lot in self._lot(event, body.lot):
            self._take(event, lot, body.out_g, floats=(*lot.floats, body))

    def _drawn(self, event: Event, body: Drawn) -> None:
        for lot in self._lot(event, body.lot):
            self._take(event, lot, body.mass_g, draws=(*lot.draws, body))

    def _lot_adjusted(self, event: Event, body: LotAdjusted) -> None:
        for lot in self._lot(event, body.lot):
            missing_g = lot.left_g - body.mass_g
            self._of_lot(event, lot, left_g=body.mass_g, adjusted_g=lot.adjusted_g + missing_g)

    def _written_off(self, event: Event, body: WrittenOff) -> None:
        if body.lot is not None:
            for lot in self._lot(event, body.lot):
                gone_g = lot.left_g if body.mass_g is None else body.mass_g
                self._take(event, lot, gone_g, written_off_g=lot.written_off_g + gone_g)
        else:
            for old in self._open_bin(event, body.bin or ""):
                self._empty(event, old, written_off=body.reason or "-")

    def _melt_tested(self, event: Event, body: MeltTested) -> None:
        for lot in self._lot(event, body.lot):
            self._of_lot(event, lot, melt_tests=(*lot.melt_tests, body))

    def _open_bin(self, event: Event, name: str) -> Iterator[BinState]:
        """The bin, where things may still go in and out; else a trouble."""
        for of in self._bin(event, name):
            if of.closed:
                self._trouble(event, of.id, "a bin that is neither shredded nor written off")
            else:
                yield of

    def _gone(self, event: Event, item: ItemDraft) -> bool:
        """True, with a trouble, for an item that is shredded or written off."""
        if item.lot is None and item.written_off is None:
            return False
        self._trouble(event, item.id, "an item that is neither shredded nor written off")
        return True

    def _items_of(self, event: Event, names: Iterable[str], bin_id: str) -> Iterator[ItemDraft]:
        """Those of the items that lie in the bin; a trouble for each that does not."""
        for name in names:
            for item in self._item(event, name):
                if item.bin == bin_id:
                    yield item
                else:
                    self._trouble(event, item.id, f"an item that lies in {bin_id}")

    def _to_bin(self, event: Event, item: ItemDraft, name: str) -> None:
        """The item lies in this bin and in no other."""
        if item.bin is not None:
            self._move(event, item.id, item.bin, inside=False)
        self._move(event, item.id, name, inside=True)
        self._change(event, item, bin=name)

    def _empty(self, event: Event, old: BinState, **why: Any) -> None:
        """The bin is closed; each item in it is gone into the lot, or written off."""
        for name in tuple(self._inside[old.id]):
            self._change(event, self._items[name], bin=None, **why)
        self._inside[old.id].clear()
        self._bins[old.id] = replace(old, **why)
        self._happened(event, old.id)

    def _take(self, event: Event, lot: LotState, out_g: float, **changes: Any) -> None:
        """Mass leaves the lot; what is beyond it was there unseen, so it counts as an adjustment."""
        beyond_g = max(out_g - lot.left_g, 0.0)
        changes["left_g"] = max(lot.left_g - out_g, 0.0)
        changes["adjusted_g"] = lot.adjusted_g - beyond_g
        if beyond_g > lot.shredded.resolution_g:
            self._trouble(
                event, f"{out_g:g} g of {lot.id}", f"no more than the {lot.left_g:g} g that are left"
            )
        self._of_lot(event, lot, **changes)

    def _of_lot(self, event: Event, lot: LotState, **changes: Any) -> None:
        self._lots[lot.id] = replace(lot, history=(*lot.history, event.id), **changes)
