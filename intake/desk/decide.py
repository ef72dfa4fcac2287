"""Decide: is the item worth cleaning? The answer that a person is told is a fact and is recorded."""

from intake.desk.desk import Desk
from intake.desk.observe import in_hand, what_next
from intake.desk.walk import judge_item
from intake.table.compat.decision import ResinVerdict, Verdict
from intake.table.identify.next_test import HANGING, NextTest

LEAST_BITS = 0.001
"""[bit] a test that is expected to tell less is not asked for; our choice."""

_IDENTITY = frozenset({"resin_conflict", "resin_may_be_hazard", "resin_needs_touch", "resin_needs_test"})
"""Reasons to hold that a test can settle; oil, old pigments and fillers are not settled by one."""


def preview(desk: Desk, item_id: str) -> ResinVerdict:
    """The resin verdict as it would be now; nothing is recorded."""
    known = desk.numbers(item_id)
    return desk.tools.worth_cleaning(known.item, known.odds)


def settling_test(desk: Desk, item_id: str) -> NextTest | None:
    """The test most worth doing now; None where the verdict stands without one, or where none would settle it.

    Hanging a piece from the scale is left to the command line: it asks for two readings.
    """
    verdict = preview(desk, item_id)
    if verdict.verdict is not Verdict.HOLD or _IDENTITY.isdisjoint(r.code for r in verdict.reasons):
        return None
    left = (t for t in what_next(desk, item_id) if t.test != HANGING and t.bits >= LEAST_BITS)
    return next(left, None)


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
