"""How far the shred in the bins is from a charge, and how many more pieces would make it safe."""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass

from intake.spread import Interval, Spread, chance_at_least, interval, mean_of
from intake.table.charge.target import ChargePlan
from intake.table.item import Closure, Item, Label, Residue
from intake.table.kinds import Kind, KindId
from intake.table.yields.shred import YieldModel

WANTED = 0.9
"""[-] how sure is sure enough to heat the oven."""
MOST_PIECES = 5_000
"""No table collects more; a kind that needs more than this cannot help."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Progress:
    """How far a charge is.

    Attributes:
        shred_g: [g] clean shred there is or will be.
        charge_g: [g] clean shred that is needed.
        missing_g: [g] mean, 5 % and 95 % of what is missing; not below 0.
        share: [-] mean shred / mean charge.
        probability_met: [-] that the shred reaches the charge.
    """

    shred_g: Spread
    charge_g: Spread
    missing_g: Interval
    share: float
    probability_met: float


def progress(plan: ChargePlan, shred_g: Spread) -> Progress:
    """How far `shred_g` [g], all clean shred of the charge's resin, is from the plan's charge."""
    gap = interval(plan.charge_g - shred_g)
    return Progress(
        shred_g=shred_g,
        charge_g=plan.charge_g,
        missing_g=Interval(mean=max(gap.mean, 0.0), low=max(gap.low, 0.0), high=max(gap.high, 0.0)),
        share=mean_of(shred_g) / mean_of(plan.charge_g),
        probability_met=chance_at_least(shred_g, plan.charge_g),
    )


def more_needed(
    model: YieldModel, plan: ChargePlan, shred_g: Spread, kinds: Iterable[Kind], wanted: float = WANTED
) -> Mapping[KindId, int | None]:
    """How many more pieces of each kind, of that kind alone, make the charge `wanted` (0..1) sure.

    The pieces are guessed from the kinds table as one row, so their doubt does not average out. None where
    even a mountain of a kind leaves too much doubt: then weighing helps more than collecting.
    """
    return {kind.id: _pieces(model, plan, shred_g, kind, wanted) for kind in kinds}


def _pieces(model: YieldModel, plan: ChargePlan, shred_g: Spread, kind: Kind, wanted: float) -> int | None:
    """The number of pieces of one kind."""
    if chance_at_least(shred_g, plan.charge_g) >= wanted:
        return 0
    one_g = model.item_yield(usual_piece(kind)).shred_g

    def enough(count: int) -> bool:
        return chance_at_least(shred_g + count * one_g, plan.charge_g) >= wanted

    return first_enough(enough, MOST_PIECES)


def usual_piece(kind: Kind) -> Item:
    """A piece as it usually comes: its usual label, its closure on, rinsed."""
    closure = Closure.ON if kind.closure_g else Closure.NONE
    return Item(kind=kind, label=Label(kind.label), closure=closure, residue=Residue.RINSED)


def first_enough(enough: Callable[[int], bool], most: int) -> int | None:
    """The first count in 1..most that is enough where one less is not; None where none is.

    Below the charge more pieces always make it surer, so doubling finds a count and halving the first one.
    """
    high = 1
    while not enough(high):
        high *= 2
        if high > most:
            return None
    low = high // 2
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (low, middle) if enough(middle) else (middle, high)
    return high
