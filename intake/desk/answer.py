"""Answer: what one tap of the walk records, all or nothing, and at which step the item goes on.

Every answer may be given twice (a double tap, a Back and the same again): the second time records nothing.
"""

from intake.desk.decide import decide, settling_test
from intake.desk.desk import Desk
from intake.desk.observe import in_hand, revise, set_mark, set_test
from intake.desk.place import place_in_bin
from intake.desk.prepare import prep_all, prep_done, weigh
from intake.desk.receive import MAX_COUNT, receive_again
from intake.desk.views.item import WalkStep, next_step
from intake.errors import BadInput
from intake.ledger.events import PrepDone
from intake.table.identify.evidence import MarkHow
from intake.table.item import Closure, Label, Weighing
from intake.table.prep.steps import StepName


def answer_kind(desk: Desk, item_id: str, kind: str, count: int) -> None:
    """Correct the kind and the count of an item in hand; label and closure follow the kind.

    Raises:
        BadInput: no such item, or a count that cannot be.
        UnknownName: nobody knows the kind.
        Refusal: the item lies in a bin; take it back first.
    """
    row = desk.handbook.kinds.get(kind)
    if not 1 <= count <= MAX_COUNT:
        raise BadInput(where="Count", got=count, expected=f"a whole number from 1 to {MAX_COUNT}")
    with desk.one_at_a_time():
        facts = desk.numbers(item_id).state.facts
        if facts.kind != row.id:
            closure = Closure.ON if row.closure_g else Closure.NONE
            revise(desk, item_id, {"kind": row.id, "label": Label(row.label), "closure": closure})
        if facts.count != count:
            revise(desk, item_id, {"count": count})
        _judge_again(desk, item_id)


def answer_mark(desk: Desk, item_id: str, text: str, how: MarkHow) -> WalkStep:
    """Record the mark, in the place of an earlier one; the verdict too where no test is needed.

    Raises:
        BadInput: no such item, or no mark.
        Refusal: the item lies in a bin; take it back first.
    """
    with desk.one_at_a_time():
        set_mark(desk, item_id, text, how)
        return _goes_on(desk, item_id)


def answer_test(desk: Desk, item_id: str, test: str, result: str) -> WalkStep:
    """Record what a test showed, in the place of its earlier result; the verdict too where no more is needed.

    Raises:
        BadInput: no such item, test or result.
        Refusal: the item lies in a bin; take it back first.
    """
    with desk.one_at_a_time():
        set_test(desk, item_id, test, result)
        return _goes_on(desk, item_id)


def answer_colour(desk: Desk, item_id: str, colour: str) -> None:
    """Record the colour; a verdict that was told is taken again, because old pigments hang on it.

    Raises:
        BadInput: no such item.
        Refusal: the item lies in a bin; take it back first.
    """
    with desk.one_at_a_time():
        in_hand(desk, item_id)
        if desk.numbers(item_id).item.colour != colour:
            revise(desk, item_id, {"colour": colour})
            _judge_again(desk, item_id)


def answer_prep(
    desk: Desk, item_id: str, step: StepName, *, left_on: str | None = None, minutes: float | None = None
) -> None:
    """Record what came of one step; `left_on` says what stayed.

    Raises:
        BadInput: no such item, or minutes that cannot be.
        Refusal: the item was not accepted, or it lies in a bin already.
    """
    with desk.one_at_a_time():
        told = [p for p in desk.numbers(item_id).state.prep if p.step == step]
        if told and told[-1] == PrepDone(item=item_id, step=step, minutes=minutes, left_on=left_on):
            return
        prep_done(desk, item_id, step, minutes=minutes, left_on=left_on)


def answer_clean(desk: Desk, item_id: str) -> None:
    """Record that everything which was left to do is done.

    Raises:
        BadInput: no such item.
        Refusal: the item is not accepted, or it lies in a bin already.
    """
    with desk.one_at_a_time():
        decide(desk, item_id)
        prep_all(desk, item_id)


def answer_weight(desk: Desk, item_id: str, gross_g: float | None) -> None:
    """Record what the scale says of the clean item, and put it where it belongs.

    Args:
        desk: the table.
        item_id: which item.
        gross_g: [g] reading for all its pieces; None where there is no scale, so that its kind's mass counts.

    Raises:
        BadInput: no such item, or a mass that cannot be.
        Refusal: the item is not accepted, or it lies in a bin with another weight.
    """
    with desk.one_at_a_time():
        state = desk.numbers(item_id).state
        if state.bin is not None and state.facts.gross_g == gross_g:
            return
        if gross_g is not None and (state.facts.gross_g, state.facts.weighed) != (gross_g, Weighing.PREPARED):
            weigh(desk, item_id, gross_g)
        elif gross_g is None and state.facts.gross_g is not None:
            revise(desk, item_id, {"gross_g": None, "weighed": None})
        place_in_bin(desk, item_id)


def take_again(desk: Desk, item_id: str) -> str:
    """Record one more like `item_id`, in the state that one is in now, and its verdict; gives its id.

    Raises:
        BadInput: the table has no such item.
    """
    with desk.one_at_a_time():
        again = receive_again(desk, item_id)
        decide(desk, again)
        return again


def _goes_on(desk: Desk, item_id: str) -> WalkStep:
    """The step after an answer about what it is made of; the verdict is told where no test is needed."""
    if settling_test(desk, item_id) is None:
        decide(desk, item_id)
        return next_step(desk, item_id)
    _judge_again(desk, item_id)
    return WalkStep.TEST


def _judge_again(desk: Desk, item_id: str) -> None:
    """Take a verdict that was told again, so that none stands on evidence that is gone."""
    if desk.numbers(item_id).state.resin_verdict is not None:
        decide(desk, item_id)
