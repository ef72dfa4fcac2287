"""Mass of an item, or of N like ones, from the scale or from what its kind usually weighs."""

from math import isfinite, sqrt

from intake.errors import BadInput
from intake.spread import Spread, doubtful, mean_of
from intake.table.item import Closure, Item
from intake.table.resins import Reason
from intake.table.yields.losses import KindGuess

_RECTANGLE = sqrt(12.0)
UNLIKE_FACTOR = 2.0
"""[-] beyond half of a kind's low end or twice its high end a weight is questioned, never refused."""


def scale_g(item: Item) -> Spread:
    """[g] What lay on the scale without the tare, with the doubt of the scale's step.

    A reading r of a scale with step d stands for any mass between r - d/2 and r + d/2, so its standard
    deviation is d / sqrt(12); a tare that was read on the same scale adds as much again.

    Raises:
        BadInput: there is no reading, it is not above the tare, or a number is not finite.
    """
    gross_g = item.gross_g
    if gross_g is None or not all(isfinite(v) for v in (gross_g, item.tare_g, item.resolution_g)):
        raise BadInput(where=f"Weight of {item.kind.id}", got=gross_g, expected="a weight in grams")
    if item.tare_g < 0 or gross_g <= item.tare_g:
        expected = f"more than its tare {item.tare_g:g} g"
        raise BadInput(where=f"Weight of {item.kind.id}", got=f"{gross_g:g} g", expected=expected)
    if item.resolution_g <= 0:
        raise BadInput(where="Step of the scale", got=f"{item.resolution_g:g} g", expected="a step above 0 g")
    sd_g = step_sd_g(item.resolution_g, tared=item.tare_g > 0.0)
    return doubtful(gross_g - item.tare_g, sd_g, "scale")


def step_sd_g(resolution_g: float, *, tared: bool) -> float:
    """[g] Standard deviation of a weighing on a scale with this step [g]; two readings where a tare was read."""
    return resolution_g / _RECTANGLE * (sqrt(2.0) if tared else 1.0)


def check_count(item: Item) -> None:
    """Refuse a count that is no number of pieces, and split-off mass below zero.

    Raises:
        BadInput: fewer than one piece, or a mass that is negative or not finite.
    """
    if item.count < 1:
        raise BadInput(where=f"Count of {item.kind.id}", got=item.count, expected="one piece or more")
    if not isfinite(item.split_g) or item.split_g < 0:
        where = f"Parts split off {item.kind.id}"
        raise BadInput(where=where, got=f"{item.split_g:g} g", expected="a mass of 0 g or more")


def guessed_bodies_g(item: Item, guess: KindGuess) -> Spread:
    """[g] Clean bodies of all pieces by the kinds table: one shared draw of the kind and one of this row."""
    return item.count * (guess.body_g + doubtful(0.0, guess.body_own_sd_g, "row"))


def guessed_closures_g(item: Item, guess: KindGuess, weight_g: Spread | None = None) -> Spread:
    """[g] Closures of all pieces by the kinds table.

    Where the items weigh less than half of what the kind usually does (`weight_g`), their closures are small
    too: then the closure is taken as its usual share of the weight, so that no weight falls below nothing.
    """
    if weight_g is not None and mean_of(weight_g) < item.count * guess.total_g / UNLIKE_FACTOR:
        return weight_g * (guess.closure_g / (guess.closure_g + guess.body_g))
    return item.count * guess.closure_g


def unlike_kind(item: Item, weight_g: float) -> Reason | None:
    """A question where a weight is far from what such items weigh: a slip of the pen, or another kind.

    The bounds are half the low body and twice the high body with its closure, times the count.
    """
    kind = item.kind
    closure_g = kind.closure_g.high if kind.closure_g and item.closure is not Closure.NONE else 0.0
    low_g = item.count * kind.body_g.low / UNLIKE_FACTOR
    high_g = item.count * (kind.body_g.high + closure_g) * UNLIKE_FACTOR
    if low_g <= weight_g <= high_g:
        return None
    return Reason.of(
        "mass_unlike_kind", kind=kind.names[0], mass_g=weight_g, low_g=low_g, high_g=high_g, count=item.count
    )
