"""Decide: is the item worth cleaning? The answer that a person is told is a fact and is recorded."""

from intake.desk.desk import Desk
from intake.desk.observe import in_hand
from intake.desk.walk import judge_item
from intake.table.compat.decision import ResinVerdict


def preview(desk: Desk, item_id: str) -> ResinVerdict:
    """The resin verdict as it would be now; nothing is recorded."""
    known = desk.numbers(item_id)
    return desk.tools.worth_cleaning(known.item, known.odds)


def decide(desk: Desk, item_id: str, *, by: str | None = None) -> ResinVerdict:
    """Record the resin verdict that the evidence gives now.

    The same verdict told twice is recorded once, so that a double tap does nothing.

    Raises:
        BadInput: no such item.
        Refusal: the item lies in a bin already.
    """
    with desk.one_at_a_time():
        in_hand(desk, item_id)
        known = desk.numbers(item_id)
        verdict, event = judge_item(item_id, known.item, known.odds, desk.tools, by=by)
        last = known.state.resin_verdict
        if last is None or (last.verdict, last.reasons) != (event.verdict, event.reasons):
            desk.record([event])
    return verdict
