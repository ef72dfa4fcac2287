"""The cheapest mix, found exactly: bounds first, whole numbers only where they can still win.

Every colour k and every number n of opened lots gives one program. Relaxed (a part of a lot may be opened for a
part of the price) it is quickly solved and never dearer than the true one, so programs are taken from the lowest
bound on, each asked only for a mix that costs less than the best one known, until the next bound cannot win.
Source: branch and bound (Land and Doig, 1960, from memory); proved equal to one large program in the tests.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from math import ceil, inf, log

from intake.table.charge.linear import LinearProgram, Row, Solver
from intake.table.charge.stock import Stock, Wish, colour_gaps, log_flows

WINS = 1e-9
"""[-] a share of a mix, or a gain in cost, that counts."""
_FIRST_TRIES = 6
_ROUNDING = 1e-6


@dataclass(frozen=True, slots=True, kw_only=True)
class Blend:
    """A mix: [-] share of each stock, its ΔE00 from the mix's colour, and the cost of the whole."""

    shares: tuple[float, ...]
    gaps: tuple[float, ...]
    cost: float


def best_blend(stocks: Sequence[Stock], wish: Wish, solver: Solver) -> Blend | None:
    """The cheapest mix; None where no mix keeps the limits."""
    model = _Model(
        rows=limit_rows(stocks, wish), opening=wish.opening_de00, solver=solver,
        caps=tuple(min(s.mass_g / wish.mass_g, 1.0) for s in stocks),
    )  # fmt: skip
    gaps = colour_gaps(stocks, wish.unknown_de00)
    bounds = solver.least_costs(model.over_shares(gaps[0]), [model.relaxed_cost(row) for row in gaps])
    ranked = sorted((bound, row) for bound, row in zip(bounds, gaps, strict=True) if bound is not None)
    tries = [model.quick(row) for _, row in ranked[:_FIRST_TRIES]]
    best = min((b for b in tries if b is not None), key=lambda b: b.cost, default=None)
    if best is None:
        return None
    hopeful = [row for bound, row in ranked if bound < best.cost - WINS]
    fewest = model.fewest() if hopeful else 1
    programs = [p for row in hopeful for p in model.counted(row, fewest, best.cost)]
    for bound, opened, row in sorted(programs):
        if bound >= best.cost - WINS:
            break
        best = model.exact(row, opened, best.cost - WINS) or best
    return best


@dataclass(frozen=True, slots=True, kw_only=True)
class _Model:
    """The problem as numbers: the limits, the cost of opening a lot, the largest share of each."""

    rows: tuple[Row, ...]
    opening: float
    caps: tuple[float, ...]
    solver: Solver

    def over_shares(self, cost: tuple[float, ...], upper: tuple[float, ...] | None = None) -> LinearProgram:
        """The program over shares alone."""
        whole = tuple(False for _ in cost)
        return LinearProgram(cost=cost, upper=upper or self.caps, whole=whole, rows=self.rows)

    def relaxed_cost(self, gaps: tuple[float, ...]) -> tuple[float, ...]:
        """Cost of each share where a part of a lot may be opened for a part of the price."""
        return tuple(g + self.opening / cap for g, cap in zip(gaps, self.caps, strict=True))

    def quick(self, gaps: tuple[float, ...]) -> Blend | None:
        """A good mix around one colour, for a first mark to beat: of the lots of the relaxed answer."""
        relaxed = self.solver.solve(self.over_shares(self.relaxed_cost(gaps)))
        return self._settled(gaps, [u > WINS for u in relaxed.values]) if relaxed else None

    def fewest(self) -> int:
        """The number of lots that no mix can do without."""
        found = self.solver.solve(self.over_shares(self._parts()))
        return max(1, ceil(found.cost - _ROUNDING)) if found else 1

    def _parts(self) -> tuple[float, ...]:
        """What a share opens of its lot: 1 / the largest share."""
        return tuple(1.0 / cap for cap in self.caps)

    def counted(
        self, gaps: tuple[float, ...], fewest: int, cutoff: float
    ) -> Iterator[tuple[float, int, tuple[float, ...]]]:
        """Bound, number of opened lots, colour row: for every number whose bound lies below `cutoff`."""
        every, parts = tuple(range(len(self.caps))), self._parts()
        opened = fewest if self.opening > 0.0 else len(self.caps)
        while opened <= len(self.caps) and self.opening * opened < cutoff:
            count_row = Row(columns=every, factors=parts, low=-inf, high=opened)
            program = self.over_shares(gaps)
            found = self.solver.solve(replace(program, rows=(*program.rows, count_row)))
            if found is not None and found.cost + self.opening * opened < cutoff:
                yield found.cost + self.opening * opened, opened, gaps
            opened += 1

    def exact(self, gaps: tuple[float, ...], opened: int, cutoff: float) -> Blend | None:
        """The best mix of at most `opened` lots around one colour; None where none costs less than `cutoff`."""
        count = len(self.caps)
        links = (
            Row(columns=(i, count + i), factors=(1.0, -cap), low=-inf, high=0.0)
            for i, cap in enumerate(self.caps)
        )
        number = Row(
            columns=tuple(range(count, 2 * count)), factors=(1.0,) * count, low=-inf, high=float(opened)
        )
        program = LinearProgram(
            cost=(*gaps, *(0.0,) * count), upper=(*self.caps, *(1.0,) * count),
            whole=(*(False,) * count, *(True,) * count), rows=(*self.rows, *links, number),
        )  # fmt: skip
        chosen = self.solver.solve(program, below=cutoff - self.opening * opened)
        found = self._settled(gaps, [y > 0.5 for y in chosen.values[count:]]) if chosen else None  # noqa: PLR2004
        return found if found is not None and found.cost < cutoff else None

    def _settled(self, gaps: tuple[float, ...], opened: Sequence[bool]) -> Blend | None:
        """The best shares of the opened lots; without the rounding that whole numbers bring."""
        upper = tuple(cap if is_open else 0.0 for cap, is_open in zip(self.caps, opened, strict=True))
        found = self.solver.solve(self.over_shares(gaps, upper))
        if found is None:
            return None
        used = sum(1 for u in found.values if u > WINS)
        return Blend(shares=found.values, gaps=gaps, cost=found.cost + self.opening * used)


def limit_rows(stocks: Sequence[Stock], wish: Wish) -> tuple[Row, ...]:
    """The rows that every mix keeps, over shares of the mix: its sum, each material, the flow window."""
    every = tuple(range(len(stocks)))
    rows = [Row(columns=every, factors=tuple(1.0 for _ in every), low=1.0, high=1.0)]
    for material, limit in wish.limits.items():
        factors = tuple(s.foreign.get(material, 0.0) / limit for s in stocks)
        rows.append(Row(columns=every, factors=factors, low=-inf, high=1.0))
    low = -inf if wish.flow_low is None else log(wish.flow_low)
    high = inf if wish.flow_high is None else log(wish.flow_high)
    return (*rows, Row(columns=every, factors=log_flows(stocks, wish), low=low, high=high))
