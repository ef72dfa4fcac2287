"""Undo: correcting events for the last act on an item; nothing is ever rubbed out."""

from intake.desk.desk import Desk
from intake.errors import Refusal
from intake.ledger.events import BinOpened, Judged, Placed, Undone


def undo_last(desk: Desk, item_id: str) -> str:
    """Undo the last act on an item; gives the name of the event kind that it ended with.

    Putting an item into a bin is one act: its placing verdict, the bin opened for it (where nothing else lies in
    it) and the placing itself are undone together.

    Raises:
        BadInput: no such item.
        Refusal: other items were taken off it and entered on their own.
    """
    with desk.one_at_a_time():
        state = desk.numbers(item_id).state
        events = {e.id: e for e in desk.ledger.events() if e.id in state.history}
        last = events[state.history[-1]]
        if len(state.history) == 1 and state.parts:
            parts = ", ".join(p.item for p in state.parts)
            raise Refusal(f"Parts of this item were entered on their own ({parts}). Undo those first.")
        wrong = [last.id]
        if isinstance(last.body, Placed):
            wrong += _with_placing(desk, item_id, last.body.bin, state.history)
        desk.record([Undone(event=e) for e in wrong])
    return last.kind


def undo_item(desk: Desk, item_id: str) -> None:
    """Undo everything about an item, so that it was never received.

    Raises:
        BadInput: no such item.
        Refusal: other items were taken off it and entered on their own.
    """
    with desk.one_at_a_time():
        state = desk.numbers(item_id).state
        if state.parts:
            parts = ", ".join(p.item for p in state.parts)
            raise Refusal(f"Parts of this item were entered on their own ({parts}). Undo those first.")
        desk.record([Undone(event=e) for e in reversed(state.history)])


def _with_placing(desk: Desk, item_id: str, bin_id: str, history: tuple[str, ...]) -> list[str]:
    """The other events of the act that put the item into its bin."""
    bin_state = desk.state.bins[bin_id]
    wrong = []
    for event in desk.ledger.events():
        body = event.body
        alone = bin_state.items == (item_id,) and not bin_state.labels
        if isinstance(body, BinOpened) and alone and event.id in bin_state.history:
            wrong.append(event.id)
        if isinstance(body, Judged) and event.id in history[-2:-1]:
            wrong.append(event.id)
    return wrong
