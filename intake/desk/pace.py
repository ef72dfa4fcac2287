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
from intake.table.prep.steps import CLOCK, StepName, steps_left, tasks_done
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
    """Every logged time, with the facts of its item as they were at that moment.

    Minutes of the clock belong to all that was done to the item without a time of its own.
    """
    facts: dict[str, Received] = {}
    clocked: dict[str, float] = {}
    done: dict[str, list[str]] = {}
    for item_id, body in told:
        if isinstance(body, Received):
            facts[item_id] = body
            if body.minutes:
                item = item_of(body, handbook)
                yield from share_out(body.minutes, tasks_done(item), item.count, prior)
        elif isinstance(body, Revised) and item_id in facts:
            facts[item_id] = replace(facts[item_id], **body.changes)
        elif isinstance(body, PrepDone) and item_id in facts:
            task = _task_of(body, item_of(facts[item_id], handbook), handbook)
            if body.step == CLOCK:
                clocked[item_id] = clocked.get(item_id, 0.0) + (body.minutes or 0.0)
            elif task is not None and body.minutes:
                count = facts[item_id].count
                yield Logged(task=task, piece_s=body.minutes * _S_PER_MIN / count)
            elif task is not None:
                done.setdefault(item_id, []).append(task)
            facts[item_id] = after_prep(facts[item_id], body)
    for item_id, minutes in clocked.items():
        tasks = tuple(dict.fromkeys(done.get(item_id, ())))
        yield from share_out(minutes, tasks, facts[item_id].count, prior)


def _task_of(done: PrepDone, item: Item, handbook: Handbook) -> str | None:
    """The task that a step was for, as it was left to do then; None where it is no step of the table."""
    if done.step not in set(StepName):
        return None
    if done.step == StepName.DRY:
        return "dry"
    left = {step.name: step.task for step in steps_left(item, OTHER, handbook.prep)}
    return left.get(StepName(done.step))
