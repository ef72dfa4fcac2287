"""Log what belongs to no one step: a pump, liner or seal that came off, and the time spent on an item."""

from dataclasses import replace

from intake.desk import clock
from intake.desk.desk import Desk
from intake.desk.observe import in_hand
from intake.desk.prepare import MAX_MINUTES, accepted
from intake.errors import BadInput, Refusal
from intake.ledger.envelope import wall_ms
from intake.ledger.events import PrepDone
from intake.ledger.state import ItemState
from intake.table.prep.steps import CLOCK, CLOCK_STARTS, Covers, HiddenPart, StepName, hidden_parts

ON = "on"
_MS_PER_MIN = 60_000.0
_CLOCKS = (CLOCK, CLOCK_STARTS)


def part_off(desk: Desk, item_id: str, part: HiddenPart, *, off: bool = True) -> None:
    """Record that a part which hides under the closure came off, or after all stays on; said twice, nothing.

    Raises:
        BadInput: no such item, or it has no such part.
        Refusal: the item was not accepted, or it lies in a bin already.
    """
    with desk.one_at_a_time():
        state = _in_prep(desk, item_id)
        may = hidden_parts(desk.numbers(item_id).item)
        if part not in may:
            expected = "one of " + ", ".join(may) if may else "nothing: such an item hides no part"
            raise BadInput(where=f"Part of {item_id}", got=part, expected=expected)
        if off != (part in parts_off(state)):
            desk.record([PrepDone(item=item_id, step=part, left_on=None if off else ON)])


def prep_detail(
    desk: Desk, item_id: str, step: StepName, *, how: str = "", covers: Covers | None = None
) -> None:
    """Record how a step that was answered was done, and how much the label covered; what is not said stays.

    Raises:
        BadInput: no such item, the step was not answered yet, or there is no such method.
        Refusal: the item was not accepted, or it lies in a bin already.
    """
    with desk.one_at_a_time():
        told = [done for done in _in_prep(desk, item_id).prep if done.step == step]
        known = [m.id for m in desk.handbook.prep.methods]
        if not told:
            raise BadInput(where=f"Step of {item_id}", got=step, expected="a step that was answered before")
        if how and how not in known:
            raise BadInput(where=f"Method of {item_id}", got=how, expected="one of " + ", ".join(known))
        new = replace(told[-1], how=how or told[-1].how, covers=covers or told[-1].covers, minutes=None)
        if new != replace(told[-1], minutes=None):
            desk.record([new])


def parts_off(state: ItemState) -> frozenset[str]:
    """The hidden parts of an item that came off."""
    told = {done.step: done.left_on for done in state.prep if done.step in set(HiddenPart)}
    return frozenset(part for part, left in told.items() if left is None)


def start_clock(desk: Desk, item_id: str) -> None:
    """Record that somebody begins to work on an item now; while the clock runs, nothing.

    Raises:
        BadInput: no such item.
        Refusal: the item was not accepted, or it lies in a bin already.
    """
    with desk.one_at_a_time():
        if not runs(_in_prep(desk, item_id)):
            desk.record([PrepDone(item=item_id, step=CLOCK_STARTS)])


def stop_clock(desk: Desk, item_id: str) -> None:
    """Record the minutes since the clock of an item was started; where it does not run, nothing.

    Raises:
        BadInput: no such item.
        Refusal: the item was not accepted, or it lies in a bin already; or the clock runs for more than a day,
            so that nobody can have worked all that time.
    """
    with desk.one_at_a_time():
        state = _in_prep(desk, item_id)
        since_ms = running_since(desk, state)
        if since_ms is None:
            return
        minutes = max(clock.now_ms() - since_ms, 0) / _MS_PER_MIN
        if minutes > MAX_MINUTES:
            raise Refusal("The clock of this item runs for more than a day. Enter the minutes instead.")
        desk.record([PrepDone(item=item_id, step=CLOCK, minutes=round(minutes, 2))])


def add_minutes(desk: Desk, item_id: str, minutes: float) -> None:
    """Record minutes spent on an item; a clock that runs is stopped by it and counts for nothing.

    Raises:
        BadInput: no such item, or minutes that cannot be.
        Refusal: the item was not accepted, or it lies in a bin already.
    """
    if not 0.0 < minutes <= MAX_MINUTES:
        raise BadInput(where="Minutes", got=minutes, expected="minutes above 0 and up to 1440")
    with desk.one_at_a_time():
        _in_prep(desk, item_id)
        desk.record([PrepDone(item=item_id, step=CLOCK, minutes=minutes)])


def runs(state: ItemState) -> bool:
    """True while the clock of an item runs."""
    told = [done.step for done in state.prep if done.step in _CLOCKS]
    return told[-1:] == [CLOCK_STARTS]


def running_since(desk: Desk, state: ItemState) -> int | None:
    """[ms] since 1970 when the clock of an item was started; None where it does not run."""
    if not runs(state):
        return None
    told = desk.ledger.events_named(state.history)
    starts = [e for e in told if isinstance(e.body, PrepDone) and e.body.step == CLOCK_STARTS]
    return wall_ms(starts[-1].hlc)


def _in_prep(desk: Desk, item_id: str) -> ItemState:
    in_hand(desk, item_id)
    accepted(desk, item_id)
    return desk.numbers(item_id).state
