"""A linear program as plain numbers, and what solves one: the room states the problem, the book answers it."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import inf
from typing import Protocol


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """low ≤ sum of `factors[k] * variable[columns[k]]` ≤ high; an end that is open is infinite."""

    columns: tuple[int, ...]
    factors: tuple[float, ...]
    low: float
    high: float


@dataclass(frozen=True, slots=True, kw_only=True)
class LinearProgram:
    """Minimise cost · x with 0 ≤ x ≤ upper and all rows kept; `whole[i]` asks for a whole number."""

    cost: tuple[float, ...]
    upper: tuple[float, ...]
    whole: tuple[bool, ...]
    rows: tuple[Row, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Optimum:
    """A best answer: its cost, and the value of each variable."""

    cost: float
    values: tuple[float, ...]


class Solver(Protocol):
    """What answers a linear program; exact to its own rounding, the same answer to the same question."""

    def solve(self, program: LinearProgram, *, below: float = inf) -> Optimum | None:
        """The best answer; None where no values keep all rows, or none that does costs less than `below`."""

    def least_costs(
        self, program: LinearProgram, costs: Sequence[Sequence[float]]
    ) -> tuple[float | None, ...]:
        """The cost of the best answer for each of several cost vectors, the program's own set aside."""
