"""Which steps are left before an item is clean, in the order that saves work, and how each is done.

Order: the closure first (it hides residue), then what is left of the content (it fouls the label bath), then
the label, then its glue, then drying. Methods stand from the gentlest to the roughest. Caustic soda, acetone,
strong solvents and flame are no methods here and never will be.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from enum import StrEnum

from intake.table.compat.cautions import UNKNOWN_CONTENT
from intake.table.item import Adhesive, Closure, Item, Label, LabelOff, Residue, Weighing
from intake.table.resins import Figure, Reason, ResinId

FORBIDDEN_METHODS = frozenset({"caustic", "acetone", "solvent", "flame"})
_COMES_OFF = frozenset({Label.PAPER, Label.FILM, Label.SLEEVE})


class StepName(StrEnum):
    """What is done."""

    CLOSURE = "closure"
    RESIDUE = "residue"
    LABEL = "label"
    ADHESIVE = "adhesive"
    DRY = "dry"


class HiddenPart(StrEnum):
    """What comes off beside the closure itself and is logged apart; its mass counts as the closure's."""

    PUMP = "pump"
    LINER = "liner"
    SEAL = "seal"


class Covers(StrEnum):
    """How much of the wall a label covered."""

    SPOT = "spot"
    BAND = "band"
    MOST = "most"


CLOCK, CLOCK_STARTS = "clock", "clock-starts"
"""Logged times that belong to no one step: minutes spent on an item, and that somebody began."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Method:
    """One way to do a step.

    Attributes:
        id: `twist-off`, `soak`, `washing-soda`, `peel-warm`, `oil-then-detergent`, `scrape`, ...
        suits: the tasks it does, such as `label:paper`.
        never: resins that it harms.
        soak_min: [min] waiting by itself; None where there is none.
        water_c: [degC] of the bath or the air; None where it does not matter.
        cautions: ids of cautions to show with it.
    """

    id: str
    suits: frozenset[str]
    never: frozenset[ResinId]
    soak_min: Figure | None
    water_c: Figure | None
    cautions: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class PrepTables:
    """Methods from the gentlest to the roughest, and the hand time of each task.

    Attributes:
        methods: in the order they are offered.
        hand_s: [s] of hand work for one piece, by task such as `label:paper`.
        cut_out_above_s: [s] above which a stubborn label is better cut out.
    """

    methods: tuple[Method, ...]
    hand_s: Mapping[str, Figure]
    cut_out_above_s: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One step that is left.

    Attributes:
        name: what is done.
        task: what exactly, as the tables name it (`label:paper`).
        methods: ids, the gentlest first.
        cautions: ids of cautions of these methods, each once.
        reasons: what to know.
    """

    name: StepName
    task: str
    methods: tuple[str, ...]
    cautions: tuple[str, ...]
    reasons: tuple[Reason, ...] = ()


def steps_left(item: Item, resin: ResinId, tables: PrepTables) -> tuple[Step, ...]:
    """The steps that are left for an item, in order; nothing for one that was weighed prepared and is bare.

    Args:
        item: as it is now; motor oil and hazardous content have no cleaning step, such items are refused.
        resin: the most likely resin, which rules out methods that harm it.
        tables: methods and hand times.
    """
    steps = tuple(_step(name, task, resin, tables) for name, task in _tasks(item))
    return tuple(_with_parts(s, item) if s.name is StepName.CLOSURE else s for s in steps)


def hidden_parts(item: Item) -> tuple[HiddenPart, ...]:
    """What may come off such an item beside its closure: a pump where it has one, else a liner and a seal ring."""
    if item.closure is Closure.NONE or item.kind.closure_g is None:
        return ()
    return (HiddenPart.LINER, HiddenPart.SEAL) if item.kind.closure_resins else (HiddenPart.PUMP,)


def tasks_done(item: Item) -> tuple[str, ...]:
    """The tasks that were done on an item before it was entered, as far as its facts show.

    A closure that is off and a label that is off or partly off were taken off; what was weighed prepared was
    rinsed and dried. Glue that is gone leaves no trace, so it is never counted.
    """
    done = []
    if item.closure is Closure.OFF:
        done.append("closure")
    washed = item.weighed is Weighing.PREPARED and item.residue in {Residue.CLEAN, Residue.RINSED}
    if washed:
        done.append(f"residue:{Residue.RINSED.value}")
    if item.label in _COMES_OFF and item.label_off is not LabelOff.NO:
        done.append(f"label:{item.label.value}")
    return (*done, "dry") if washed else tuple(done)


def _tasks(item: Item) -> Iterator[tuple[StepName, str]]:
    """What is left to do, as step and task."""
    washed = item.weighed is Weighing.PREPARED
    wet = False
    if item.closure is Closure.ON:
        yield StepName.CLOSURE, "closure"
    if item.residue in {Residue.RINSED, Residue.FOOD, Residue.EDIBLE_OIL} and not washed:
        wet = True
        yield StepName.RESIDUE, f"residue:{item.residue.value}"
    if item.label in _COMES_OFF and item.label_off is not LabelOff.YES:
        wet = wet or item.label is not Label.SLEEVE
        yield StepName.LABEL, f"label:{item.label.value}"
    if item.adhesive is not Adhesive.NONE:
        wet = True
        yield StepName.ADHESIVE, f"adhesive:{item.adhesive.value}"
    if wet:
        yield StepName.DRY, "dry"


def _with_parts(step: Step, item: Item) -> Step:
    """The closure step with what hides under a closure: a pump's spring, or a liner, a seal and a neck ring."""
    pump = item.kind.closure_g is not None and not item.kind.closure_resins
    return replace(
        step, reasons=(*step.reasons, Reason.of("pump_comes_off_whole" if pump else "look_under_cap"))
    )


def _step(name: StepName, task: str, resin: ResinId, tables: PrepTables) -> Step:
    """One step with the methods that do it and do not harm the resin."""
    fit = [m for m in tables.methods if task in m.suits and resin not in m.never]
    first = (UNKNOWN_CONTENT,) if name is StepName.RESIDUE else ()
    cautions = dict.fromkeys((*first, *(c for m in fit for c in m.cautions)))
    reasons = []
    if any(task in m.suits and resin in m.never for m in tables.methods):
        reasons.append(Reason.of("method_harms_resin", resin=resin))
    if task in tables.hand_s and tables.hand_s[task].high > tables.cut_out_above_s and name is StepName.LABEL:
        reasons.append(Reason.of("cut_out_stubborn_label"))
    methods = tuple(m.id for m in fit)
    return Step(name=name, task=task, methods=methods, cautions=tuple(cautions), reasons=tuple(reasons))
