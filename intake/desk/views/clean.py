"""Cleaning and weighing: what is still on, what was done about it, and what the scale should say."""

from dataclasses import dataclass, replace
from types import MappingProxyType

from intake.desk.desk import Desk
from intake.desk.prep_log import parts_off, running_since
from intake.desk.prepare import prep_steps
from intake.desk.views.item import ItemHead, head
from intake.ledger.events import PrepDone
from intake.spread import Interval, interval
from intake.table.item import Adhesive, Closure, Item, Label, LabelOff, Residue
from intake.table.prep.minutes import step_minutes
from intake.table.prep.steps import CLOCK, HiddenPart, Step, StepName, hidden_parts
from intake.table.resins import Reason

DONE = "done"

_LEFT_ON = MappingProxyType(
    {
        StepName.CLOSURE: (Closure.ON.value,),
        StepName.RESIDUE: (Residue.RINSED.value,),
        StepName.LABEL: (LabelOff.PARTLY.value, LabelOff.NO.value),
        StepName.ADHESIVE: (Adhesive.RESIDUE.value, Adhesive.HEAVY.value),
        StepName.DRY: (),
    }
)
"""Step → what may stay on, in the words of its fact."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PrepRow:
    """One thing to do.

    Attributes:
        step: its name.
        methods: ids of the ways to do it, the gentlest first.
        minutes: [min] of hand work that it usually takes; None where it is done.
        choices: `done`, and what may stay on.
        answer: which of these was answered; empty where it is still to do.
        reasons: what to know.
        how: id of the method that was said; empty where none was.
        covers: how much the label covered; empty where nobody said.
    """

    step: StepName
    methods: tuple[str, ...]
    minutes: Interval | None
    choices: tuple[str, ...]
    answer: str
    reasons: tuple[Reason, ...]
    how: str
    covers: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PrepView:
    """The checklist.

    Attributes:
        item: in hand.
        rows: what to do, in working order.
        cautions: ids of what to mind.
        all_told: whether every row is answered.
        parts: what may come off beside the closure, and whether it did.
        minutes: [min] logged for the item as a whole.
        since_ms: [ms] since 1970 when its clock was started; None where it does not run.
    """

    item: ItemHead
    rows: tuple[PrepRow, ...]
    cautions: tuple[str, ...]
    all_told: bool
    parts: tuple[tuple[HiddenPart, bool], ...]
    minutes: float
    since_ms: int | None


@dataclass(frozen=True, slots=True, kw_only=True)
class WeighView:
    """What goes onto the scale.

    Attributes:
        item: what is in hand.
        states: what holds of it now, as step and answer (`label`, `partly`), so that nothing is assumed unseen.
        expected: [g] what such an item usually weighs once it is clean.
        resolution_g: [g] smallest step of the scale.
        gross_g: [g] what it was weighed at before; None where it was not.
    """

    item: ItemHead
    states: tuple[tuple[str, str], ...]
    expected: Interval
    resolution_g: float
    gross_g: float | None


def prep_view(desk: Desk, item_id: str) -> PrepView:
    """The checklist of an item.

    Raises:
        BadInput: the table has no such item.
    """
    known = desk.numbers(item_id)
    left = {s.name: s for s in prep_steps(desk, item_id)}
    told = {StepName(p.step): p for p in known.state.prep if p.step in set(StepName)}
    rows = tuple(
        _row(name, left.get(name), told.get(name), known.item, desk)
        for name in StepName
        if name in left or name in told
    )
    cautions = dict.fromkeys(c for s in left.values() for c in s.cautions)
    off = parts_off(known.state)
    return PrepView(
        item=head(desk, item_id),
        rows=rows,
        cautions=tuple(cautions),
        all_told=all(row.answer for row in rows),
        parts=tuple((part, part in off) for part in hidden_parts(known.item)),
        minutes=sum(p.minutes or 0.0 for p in known.state.prep if p.step == CLOCK),
        since_ms=running_since(desk, known.state),
    )


def weigh_view(desk: Desk, item_id: str) -> WeighView:
    """What goes onto the scale, and what it should say.

    Raises:
        BadInput: the table has no such item.
    """
    item = desk.numbers(item_id).item
    guessed = desk.tools.yield_of(replace(item, gross_g=None, weighed=None))
    return WeighView(
        item=head(desk, item_id),
        states=_states(item),
        expected=interval(guessed.net_g),
        resolution_g=item.resolution_g,
        gross_g=item.gross_g,
    )


def _row(name: StepName, step: Step | None, told: PrepDone | None, item: Item, desk: Desk) -> PrepRow:
    """One row; its time is told while it is still to do."""
    open_ = step is not None and told is None
    return PrepRow(
        step=name,
        methods=step.methods if step else _methods(name, item, desk),
        minutes=interval(step_minutes(step, item.count, desk.handbook.prep)) if step and open_ else None,
        choices=(DONE, *_LEFT_ON[name]),
        answer=told.left_on or DONE if told else "",
        reasons=step.reasons if step else (),
        how=(told and told.how) or "",
        covers=(told and told.covers) or "",
    )


def _methods(name: StepName, item: Item, desk: Desk) -> tuple[str, ...]:
    """Ids of the ways that a step may have been done, once it is: those for its kind of label, glue or residue."""
    what = {StepName.LABEL: item.label.value, StepName.ADHESIVE: None, StepName.RESIDUE: None}.get(name)
    task = f"{name}:{what}" if what else name.value
    suits = (
        m for m in desk.handbook.prep.methods if any(t == task or t.startswith(f"{task}:") for t in m.suits)
    )
    return tuple(m.id for m in suits)


def _states(item: Item) -> tuple[tuple[str, str], ...]:
    """What is still on and what came off, for everything that such an item wears."""
    facts = (
        ("closure", item.closure.value, item.closure is not Closure.NONE),
        ("label", item.label_off.value, item.label in {Label.PAPER, Label.FILM, Label.SLEEVE}),
        ("adhesive", item.adhesive.value, item.adhesive is not Adhesive.NONE),
        ("residue", item.residue.value, True),
    )
    return tuple((name, value) for name, value, worn in facts if worn)
