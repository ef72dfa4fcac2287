"""How fast this table works, learned from the minutes in its ledger; derived, never stored."""

from collections.abc import Iterable, Iterator
from dataclasses import replace

from intake.desk.facts import item_of
from intake.handbook import Handbook
from intake.ledger.envelope import Event
from intake.ledger.events import Body, PrepDone, Received, Revised
from intake.ledger.prepared import after_prep
from intake.ledger.state import TableState
from intake.table.item import Item
from intake.table.prep.pace import Logged, Paces, share_out
from intake.table.prep.steps import StepName, steps_left, tasks_done
from intake.table.resins import OTHER

_S_PER_MIN = 60.0


def paces_of(handbook: Handbook, events: Iterable[Event] = (), state: TableState | None = None) -> Paces:
    """The paces of a table after everything it logged.

    A step's own minutes speak of that step; minutes of a whole row are shared out over what was done to it. Only
    events that count are heard: an undone one teaches nothing.

    Args:
        handbook: hand times to begin with.
        events: all events of the ledger, oldest first.
        state: what they fold to; None where there is no ledger.
    """
    prior = Paces.of(handbook.prep.hand_s, handbook.pace)
    if state is None:
        return prior
    owner = {event: item.id for item in state.items.values() for event in item.history}
    logs = list(_logs(handbook, ((owner[e.id], e.body) for e in events if e.id in owner), prior))
    return Paces.of(handbook.prep.hand_s, handbook.pace, logs)


def _logs(handbook: Handbook, told: Iterable[tuple[str, Body]], prior: Paces) -> Iterator[Logged]:
    """Every logged time, with the facts of its item as they were at that moment."""
    facts: dict[str, Received] = {}
    for item_id, body in told:
        if isinstance(body, Received):
            facts[item_id] = body
            if body.minutes:
                item = item_of(body, handbook)
                yield from share_out(body.minutes, tasks_done(item), item.count, prior)
        elif isinstance(body, Revised) and item_id in facts:
            facts[item_id] = replace(facts[item_id], **body.changes)
        elif isinstance(body, PrepDone) and item_id in facts:
            if body.minutes:
                yield from _step_log(body, item_of(facts[item_id], handbook), handbook)
            facts[item_id] = after_prep(facts[item_id], body)


def _step_log(done: PrepDone, item: Item, handbook: Handbook) -> Iterator[Logged]:
    """The time of one step; it speaks of the task that was left to do then."""
    left = {step.name: step.task for step in steps_left(item, OTHER, handbook.prep)}
    task = (
        "dry"
        if done.step == StepName.DRY
        else left.get(StepName(done.step))
        if done.step in set(StepName)
        else None
    )
    if task is not None and done.minutes:
        yield Logged(task=task, piece_s=done.minutes * _S_PER_MIN / item.count)
