"""Receive: an item, or several like ones, comes to the table."""

from dataclasses import replace

from intake.desk import clock
from intake.desk.desk import Desk
from intake.errors import BadInput
from intake.ledger.events import EvidenceAdded, Received
from intake.table.item import Closure, Label, Residue

MAX_COUNT = 100_000


def receive(desk: Desk, kind: str, count: int = 1, *, colour: str = "", by: str | None = None) -> str:
    """Record an item that just arrived, with what is usual for its kind; gives its id.

    Nobody looked closer yet: it wears its kind's label and closure, is rinsed, and its mass is the kind's until
    it is weighed.

    Raises:
        UnknownName: nobody knows the kind.
        BadInput: the count is not a whole number from 1 to 100,000.
    """
    if not 1 <= count <= MAX_COUNT:
        raise BadInput(where="Count", got=count, expected=f"a whole number from 1 to {MAX_COUNT}")
    row = desk.handbook.kinds.get(kind)
    with desk.one_at_a_time():
        item = f"i{len(desk.state.items) + 1:03d}-{clock.new_token(2)}"
        received = Received(
            item=item,
            kind=row.id,
            count=count,
            colour=colour,
            label=Label(row.label),
            closure=Closure.ON if row.closure_g else Closure.NONE,
            residue=Residue.RINSED,
            resolution_g=desk.campaign.scale,
            by=by,
        )
        desk.record([received])
    return item


def receive_again(desk: Desk, item_id: str, *, by: str | None = None) -> str:
    """Record one more of what `item_id` is: kind, colour, state and evidence, everything but its mass.

    Raises:
        BadInput: the table has no such item.
    """
    with desk.one_at_a_time():
        old = desk.numbers(item_id).state
        item = f"i{len(desk.state.items) + 1:03d}-{clock.new_token(2)}"
        facts = replace(
            old.facts,
            item=item,
            count=1,
            gross_g=None,
            weighed=None,
            minutes=None,
            note="",
            source=None,
            by=by,
        )
        desk.record([facts, *(EvidenceAdded(item=item, evidence=e) for e in old.evidence)])
    return item
