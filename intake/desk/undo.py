"""Undo: correcting events for the last act on an item, a lot or a bin; nothing is ever rubbed out.

An act with physical successors is refused with a sentence that names them: whoever drew from a lot undoes the
draw before the shredding. So undoing always walks back the way things went, and never leaves a mass that was
drawn from nothing.
"""

from collections.abc import Sequence

from intake.desk.desk import Desk
from intake.desk.names import named
from intake.desk.observe import gone
from intake.errors import BadInput, Refusal
from intake.ledger.envelope import Event
from intake.ledger.events import (
    BinMerged,
    BinOpened,
    BinRelabelled,
    BinSplit,
    Judged,
    LabelPrinted,
    PartMade,
    Placed,
    Regrouped,
    Shredded,
    Undone,
    WrittenOff,
)

MOVES_SEVERAL = (BinSplit, BinMerged, Regrouped)
"""Acts that move several items: undone as a whole, by their bin."""
OF_A_BIN = (*MOVES_SEVERAL, BinRelabelled, WrittenOff)
"""Acts on a bin that can be undone."""


def undo_last(desk: Desk, item_id: str) -> str:
    """Undo the last act on an item; gives the name of the event kind that it ended with.

    Putting an item into a bin is one act: its placing verdict, the bin opened for it (where nothing else lies in
    it) and the placing itself are undone together.

    Raises:
        BadInput: no such item.
        Refusal: other items were taken off it and entered on their own; it is shredded or written off; or its
            last move took other items along.
    """
    with desk.one_at_a_time():
        state = desk.numbers(item_id).state
        gone(state)
        (last,) = desk.ledger.events_named(state.history[-1:])
        if len(state.history) == 1 and state.parts:
            parts = ", ".join(p.item for p in state.parts)
            raise Refusal(f"Parts of this item were entered on their own ({parts}). Undo those first.")
        if isinstance(last.body, MOVES_SEVERAL):
            raise Refusal("This item was moved together with others. Undo the last act on its bin instead.")
        wrong = [last.id]
        if isinstance(last.body, Placed):
            wrong += _with_placing(desk, item_id, last.body.bin, state.history)
        desk.record([Undone(event=e) for e in wrong])
    return last.kind


def undo_item(desk: Desk, item_id: str) -> None:
    """Undo everything about an item, so that it was never received.

    Raises:
        BadInput: no such item.
        Refusal: other items were taken off it and entered on their own; it is shredded or written off; or it
            was moved together with others.
    """
    with desk.one_at_a_time():
        state = desk.numbers(item_id).state
        gone(state)
        if any(isinstance(e.body, MOVES_SEVERAL) for e in desk.ledger.events_named(state.history)):
            raise Refusal("This item was moved together with others. Undo the last act on its bin first.")
        if state.parts:
            parts = ", ".join(p.item for p in state.parts)
            raise Refusal(f"Parts of this item were entered on their own ({parts}). Undo those first.")
        desk.record([Undone(event=e) for e in reversed(state.history)])


def undo_last_of_lot(desk: Desk, lot_id: str) -> str:
    """Undo the last act on a lot; gives its event kind. The shredding comes last, when nothing else is left.

    That a label was handed out stands as long as the lot does.

    Raises:
        BadInput: no such lot.
    """
    with desk.one_at_a_time():
        lot = desk.state.lots.get(lot_id)
        if lot is None:
            raise BadInput(where="Lot", got=lot_id, expected="the id of a lot at this table")
        last = _acts(desk, lot.history)[-1]
        wrong = lot.history if isinstance(last.body, Shredded) else (last.id,)
        desk.record([Undone(event=e) for e in reversed(wrong)])
    return last.kind


def undo_shred(desk: Desk, lot_id: str) -> None:
    """Undo the shredding: the lot was never made, and its items lie in their bin again.

    Raises:
        BadInput: no such lot.
        Refusal: something was done with the lot since; each of it is named.
    """
    with desk.one_at_a_time():
        lot = desk.state.lots.get(lot_id)
        if lot is None:
            raise BadInput(where="Lot", got=lot_id, expected="the id of a lot at this table")
        since = _acts(desk, lot.history)[1:]
        if since:
            done = ", ".join(e.kind for e in since)
            raise Refusal(f"Lot {lot_id} was used since ({done}). Undo that first, the last step first.")
        desk.record([Undone(event=e) for e in reversed(lot.history)])


def undo_last_of_bin(desk: Desk, bin_id: str) -> str:
    """Undo the last split, merge, regrouping, relabelling or write-off of a bin; gives its event kind.

    Raises:
        BadInput: no such bin.
        Refusal: the bin is shredded, was touched otherwise since, or another bin of the same act was.
    """
    with desk.one_at_a_time():
        state = desk.state.bins.get(bin_id)
        if state is None:
            raise BadInput(where="Bin", got=bin_id, expected="the id of a bin at this table")
        if state.lot is not None:
            raise Refusal(f"Bin {bin_id} is shredded into lot {state.lot}. Undo the shredding first.")
        last = _acts(desk, state.history)[-1]
        if not isinstance(last.body, OF_A_BIN):
            raise Refusal(f"The last thing with bin {bin_id} was {last.kind}. Undo that at its item.")
        later = [b.id for b in desk.state.bins.values() if last.id in b.history and b.history[-1] != last.id]
        if [b for b in later if b != bin_id]:
            raise Refusal(f"Bins of the same act were used since: {', '.join(later)}. Undo that first.")
        desk.record([Undone(event=last.id)])
    return last.kind


def undo_named(desk: Desk, name: str) -> str:
    """Undo the last act on the item, bin or lot called `name`, or one finished part by its event's id.

    Gives the event kind. A finished part has no successor: it teaches the next one, and unlearns when it is undone.

    Raises:
        UnknownName: nothing goes by that name.
        BadInput: two tables had given the name out; the ids that it stands for now are told.
        Refusal: as for the undoing of an item, a bin or a lot.
    """
    if name in {part.event for part in desk.state.finished}:
        with desk.one_at_a_time():
            desk.record([Undone(event=name)])
        return PartMade.__name__
    found = named(desk.state, name)
    if len(found) > 1 and name not in {one.id for one in found}:
        raise BadInput(where="Name", got=name, expected="one of " + ", ".join(one.id for one in found))
    one = next((one for one in found if one.id == name), found[0])
    return {"item": undo_last, "bin": undo_last_of_bin, "lot": undo_last_of_lot}[one.what](desk, one.id)


def _acts(desk: Desk, ids: Sequence[str]) -> list[Event]:
    """The events with these ids, in the order they happened, without the labels that were handed out."""
    acts = [e for e in desk.ledger.events_named(ids) if not isinstance(e.body, LabelPrinted)]
    return sorted(acts, key=lambda e: e.order)


def _with_placing(desk: Desk, item_id: str, bin_id: str, history: tuple[str, ...]) -> list[str]:
    """The other events of the act that put the item into its bin."""
    bin_state = desk.state.bins[bin_id]
    wrong = []
    alone = bin_state.items == (item_id,) and not bin_state.labels
    for event in desk.ledger.events_named({*bin_state.history, *history[-2:-1]}):
        body = event.body
        if isinstance(body, BinOpened) and alone and event.id in bin_state.history:
            wrong.append(event.id)
        if isinstance(body, Judged) and event.id in history[-2:-1]:
            wrong.append(event.id)
    return wrong
