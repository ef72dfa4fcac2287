"""Minutes of hand work that the steps will cost; soaking runs by itself and is told apart."""

from collections.abc import Iterable

from intake.spread import Spread, of_three, total
from intake.table.prep.steps import PrepTables, Step

_S_PER_MIN = 60.0


def step_minutes(step: Step, count: int, tables: PrepTables) -> Spread:
    """[min] Hand time of one step for `count` like pieces (>= 1), one draw for all of them.

    Pieces of one row are alike: if the first label sticks, they all stick, so the doubt grows with the count.
    """
    figure = tables.hand_s[step.task]
    return of_three(figure.low, figure.typical, figure.high, step.task) * (count / _S_PER_MIN)


def hand_minutes(steps: Iterable[Step], count: int, tables: PrepTables) -> Spread:
    """[min] Hand time of all steps for `count` like pieces."""
    return total(step_minutes(step, count, tables) for step in steps)


def soak_minutes(steps: Iterable[Step], tables: PrepTables) -> float:
    """[min] Waiting in baths, one after the other, each by its first method; a tub holds 20 to 60 pieces."""
    by_id = {m.id: m for m in tables.methods}
    baths = (by_id[step.methods[0]].soak_min for step in steps if step.methods)
    return sum(bath.typical for bath in baths if bath is not None)
