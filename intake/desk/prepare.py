"""Prepare and weigh: what came off, how long it took, and what the scale says."""

from intake.desk.desk import Desk
from intake.desk.observe import in_hand
from intake.errors import BadInput, Refusal
from intake.ledger.events import PrepDone, Revised
from intake.table.compat.decision import Verdict
from intake.table.item import Weighing
from intake.table.prep.steps import Step, StepName, steps_left
from intake.units import MAX_MASS_G

MAX_MINUTES = 24 * 60


def prep_steps(desk: Desk, item_id: str) -> tuple[Step, ...]:
    """The steps that are left before the item is clean, in the order that saves work."""
    known = desk.numbers(item_id)
    return steps_left(known.item, known.odds.most_likely, desk.handbook.prep)


def prep_done(
    desk: Desk, item_id: str, step: StepName, *, minutes: float | None = None, left_on: str | None = None
) -> None:
    """Record that a step is done; `left_on` says what stayed (`partly`, `heavy`), nothing where it all came off.

    Raises:
        BadInput: no such item, or minutes that cannot be.
        Refusal: the item was not accepted, so it is not washed; or it lies in a bin already.
    """
    if minutes is not None and not 0 <= minutes <= MAX_MINUTES:
        raise BadInput(where="Minutes", got=minutes, expected="minutes from 0 to 1440")
    with desk.one_at_a_time():
        in_hand(desk, item_id)
        accepted(desk, item_id)
        desk.record([PrepDone(item=item_id, step=step, minutes=minutes, left_on=left_on)])


def prep_all(desk: Desk, item_id: str) -> None:
    """Record every step that nobody spoke of yet as done, in one act; nothing where all were spoken of.

    Raises:
        BadInput: no such item.
        Refusal: the item was not accepted, so it is not washed; or it lies in a bin already.
    """
    with desk.one_at_a_time():
        in_hand(desk, item_id)
        accepted(desk, item_id)
        told = {done.step for done in desk.numbers(item_id).state.prep}
        steps = (s for s in prep_steps(desk, item_id) if s.name not in told)
        left = [PrepDone(item=item_id, step=s.name) for s in steps]
        if left:
            desk.record(left)


def weigh(
    desk: Desk, item_id: str, gross_g: float, *, tare_g: float = 0.0, weighed: Weighing = Weighing.PREPARED
) -> None:
    """Record what the scale says.

    Args:
        desk: the table.
        item_id: which item.
        gross_g: [g] reading for all its pieces, above 0.
        tare_g: [g] crate or bowl under them.
        weighed: as it came, or prepared.

    Raises:
        BadInput: no such item, or masses that cannot be.
        Refusal: the item lies in a bin already.
    """
    if not 0 < gross_g <= MAX_MASS_G:
        raise BadInput(where="Mass", got=f"{gross_g:g} g", expected="a mass above 0 g and up to 1000 kg")
    if not 0 <= tare_g < gross_g:
        expected = f"a mass from 0 g to less than the {gross_g:g} g on the scale"
        raise BadInput(where="Tare", got=f"{tare_g:g} g", expected=expected)
    with desk.one_at_a_time():
        in_hand(desk, item_id)
        changes = {"gross_g": gross_g, "tare_g": tare_g, "weighed": weighed}
        desk.record([Revised(item=item_id, changes=changes)])


def accepted(desk: Desk, item_id: str) -> None:
    """Passes where an item was accepted.

    Raises:
        Refusal: it was not, so it is not washed.
    """
    judged = desk.numbers(item_id).state.resin_verdict
    if judged is None or judged.verdict is not Verdict.ACCEPT:
        raise Refusal("This item is not accepted, so do not wash it. Settle what it is made of first.")
