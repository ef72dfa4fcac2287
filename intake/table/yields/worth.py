"""Is it worth it? Clean grams per minute of prep, before an item is touched; which one next, and how far that gets.

What an item gives is its clean shred times the chance that it melts with a charge at all; what it costs is the
hand time of the steps that are left, of the glue that a label usually leaves, of one test where the verdict
still hangs on it, and of handling. Soaking runs by itself and costs nothing. Times come from the table's own
log (`prep.pace`), so this order learns with the table.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from intake.errors import BadInput
from intake.spread import Spread, certain, mean_of, total
from intake.table.compat.decision import ResinVerdict, Verdict
from intake.table.item import Item, Label, LabelOff
from intake.table.prep.pace import HANDLING, Paces
from intake.table.prep.steps import Step, StepName
from intake.table.resins import Reason
from intake.table.yields.shred import ItemYield

_GLUE = "adhesive:residue"


@dataclass(frozen=True, slots=True, kw_only=True)
class Worth:
    """What one row of like pieces gives and costs.

    Attributes:
        key: id of the row.
        shred_g: [g] clean shred of all its pieces, where it melts with the charge.
        chance: [-] that it does.
        minutes: [min] of hand work for all its pieces.
        tasks: what the minutes are for, in working order.
        reasons: what to know.
    """

    key: str
    shred_g: Spread
    chance: float
    minutes: Spread
    tasks: tuple[str, ...]
    reasons: tuple[Reason, ...] = ()

    @property
    def expected_g(self) -> Spread:
        """[g] Clean shred times the chance that it is any use."""
        return self.chance * self.shred_g

    @property
    def g_per_minute(self) -> float:
        """[g/min] Expected clean shred / expected minutes: what the order goes by."""
        return mean_of(self.expected_g) / mean_of(self.minutes)


def item_worth(
    key: str, item: Item, yields: ItemYield, steps: Sequence[Step], paces: Paces, *, chance: float,
    test_minutes: float = 0.0,
) -> Worth:  # fmt: skip
    """What a row of pieces gives for a minute of work.

    Args:
        key: id of the row.
        item: as it is now.
        yields: what it gives.
        steps: what is left to do.
        paces: the table's times.
        chance: [-] 0..1 that it melts with a charge; 0 for what is refused.
        test_minutes: [min] of the test that must come first; 0 where none must.

    Raises:
        BadInput: a chance outside 0..1, or test minutes below 0.
    """
    if not 0.0 <= chance <= 1.0:
        raise BadInput(where=f"Chance of {key}", got=chance, expected="a share from 0 to 1")
    if not 0.0 <= test_minutes < float("inf"):
        raise BadInput(where=f"Test of {key}", got=test_minutes, expected="0 minutes or more")
    tasks = tuple(step.task for step in steps)
    parts = [paces.minutes(task, item.count) for task in (*tasks, HANDLING)]
    if (glue := _glue_left(item, steps, paces)) > 0.0:
        parts.append(glue * paces.minutes(_GLUE, item.count))
    minutes = total(parts) + test_minutes
    worth = Worth(key=key, shred_g=yields.shred_g, chance=chance, minutes=minutes, tasks=tasks)
    least = paces.tables.seldom_worth_g_min
    if chance == 0.0 or worth.g_per_minute >= least:
        return worth
    reason = Reason.of("worth_seldom", rate_g_min=round(worth.g_per_minute, 1), least_g_min=least)
    return Worth(
        key=key, shred_g=yields.shred_g, chance=chance, minutes=minutes, tasks=tasks, reasons=(reason,)
    )


def with_worth(told: ResinVerdict, worth: Worth, least_g_min: float | None) -> ResinVerdict:
    """The resin verdict with what an accepted item gives for the work that is left.

    Little is said; less than the table wants is refused, as good plastic for somebody else.

    Args:
        told: the verdict from identity, hazard and residue.
        worth: of the item as it is now.
        least_g_min: [g/min] of clean shred that the campaign asks for; None: any is taken.
    """
    if told.verdict is not Verdict.ACCEPT:
        return told
    if least_g_min is None or worth.g_per_minute >= least_g_min:
        return replace(told, reasons=(*told.reasons, *worth.reasons))
    rate = round(worth.g_per_minute, 1)
    reason = Reason.of("worth_too_little", rate_g_min=rate, least_g_min=least_g_min)
    return replace(told, verdict=Verdict.REFUSE, reasons=(reason,))


def best_first(pile: Iterable[Worth]) -> tuple[Worth, ...]:
    """The rows that can give anything, most grams per minute first; equal ones by their id."""
    return tuple(
        sorted((w for w in pile if mean_of(w.expected_g) > 0.0), key=lambda w: (-w.g_per_minute, w.key))
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class InTime:
    """How far some minutes of work get.

    Attributes:
        shred_g: [g] clean shred to be expected from them, its doubt in grams and in time.
        whole: how many rows are done to the end.
        part: [-] 0..1 of the next row that is done.
        minutes_left: [min] what is over once everything is done; 0 otherwise.
    """

    shred_g: Spread
    whole: int
    part: float
    minutes_left: float


def in_time(ordered: Sequence[Worth], minutes: float) -> InTime:
    """What some minutes of work give, the rows taken in this order.

    Rows are done one after the other; the last is done in part (of forty caps, some). A row that takes longer
    than thought costs what would have been earned in that time: shred = G + (M - T) r, where G and T are grams
    and minutes of the rows done, M the minutes there are and r the grams per minute of the row at which they
    run out, so the doubt of the times is in the doubt of the grams.

    Args:
        ordered: rows, the first to do first.
        minutes: [min] there are, 0 or more.

    Raises:
        BadInput: minutes below 0 or not finite.
    """
    if not 0.0 <= minutes < float("inf"):
        raise BadInput(where="Minutes", got=minutes, expected="0 minutes or more, such as 90")
    left, done = minutes, 0
    while done < len(ordered) and mean_of(ordered[done].minutes) <= left:
        left -= mean_of(ordered[done].minutes)
        done += 1
    grams = total(w.expected_g for w in ordered[:done])
    if done == len(ordered):
        return InTime(shred_g=grams + certain(0.0), whole=done, part=0.0, minutes_left=left)
    following = ordered[done]
    spent = total(w.minutes for w in ordered[:done])
    return InTime(
        shred_g=grams + (minutes - spent) * following.g_per_minute,
        whole=done,
        part=left / mean_of(following.minutes),
        minutes_left=0.0,
    )


def minutes_for(ordered: Sequence[Worth], wanted_g: float) -> float | None:
    """[min] Expected work until the rows, taken in this order, give `wanted_g` [g]; None where they never do."""
    minutes, missing_g = 0.0, wanted_g
    for worth in ordered:
        if missing_g <= 0.0:
            break
        grams = mean_of(worth.expected_g)
        minutes += mean_of(worth.minutes) * min(1.0, missing_g / grams)
        missing_g -= grams
    return minutes if missing_g <= 0.0 else None


def _glue_left(item: Item, steps: Sequence[Step], paces: Paces) -> float:
    """[-] Chance that a label which is still on leaves glue that nobody has seen yet."""
    labelled = any(s.name is StepName.LABEL for s in steps) and item.label_off is not LabelOff.YES
    glued = any(s.name is StepName.ADHESIVE for s in steps)
    figure = paces.tables.glue_left.get(Label(item.label))
    return figure.typical if labelled and not glued and figure is not None else 0.0
