"""Why no mix fits: how much can be mixed within the limits, and what each limit would have to become."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import exp, inf, log

from intake.table.charge.linear import LinearProgram, Row, Solver
from intake.table.charge.stock import Stock, Wish, log_flows

FLOW_LOW, FLOW_HIGH = "flow_low", "flow_high"
_ROUNDING = 1e-7


@dataclass(frozen=True, slots=True, kw_only=True)
class Loosened:
    """A limit, and the least it would have to become.

    Attributes:
        limit: a foreign material, or `flow_low`, `flow_high`.
        wanted: [-] share or [g/10 min] as it was asked for.
        needed: [-] share or [g/10 min] with which a mix exists.
    """

    limit: str
    wanted: float
    needed: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Misfit:
    """No mix keeps every limit.

    Attributes:
        wanted_g: [g] mass of the charge.
        available_g: [g] all there is.
        reachable_g: [g] the most that can be mixed within every limit.
        alone: limits of which one alone, loosened, would do.
        together: what has to give where none alone does: the least loosening in all, relative to the limits.
    """

    wanted_g: float
    available_g: float
    reachable_g: float
    alone: tuple[Loosened, ...]
    together: tuple[Loosened, ...]

    @property
    def short_g(self) -> float:
        """[g] what is missing of the charge while every limit is kept."""
        return self.wanted_g - self.reachable_g


@dataclass(frozen=True, slots=True, kw_only=True)
class _Limit:
    """One limit as a row `factors · u ≤ high` over shares of the mix; `scale` is one whole loosening."""

    name: str
    wanted: float
    factors: tuple[float, ...]
    high: float
    scale: float

    def needed(self, slack: float) -> float:
        """The limit as a person would write it, loosened by `slack`."""
        if self.name == FLOW_LOW:
            return self.wanted * exp(-slack)
        return self.wanted * exp(slack) if self.name == FLOW_HIGH else self.wanted * (1.0 + slack)


def misfit(stocks: Sequence[Stock], wish: Wish, solver: Solver) -> Misfit:
    """What stands against every mix of these stocks, by how much."""
    limits = _limits(stocks, wish)
    available_g = sum(s.mass_g for s in stocks)
    alone: list[Loosened] = []
    together: tuple[Loosened, ...] = ()
    if available_g >= wish.mass_g:
        for limit in limits:
            alone.extend(_elastic(stocks, wish, limits, {limit.name}, solver))
        if not alone:
            together = _elastic(stocks, wish, limits, {limit.name for limit in limits}, solver)
    return Misfit(
        wanted_g=wish.mass_g, available_g=available_g, reachable_g=_reachable_g(stocks, limits, solver),
        alone=tuple(alone), together=together,
    )  # fmt: skip


def _limits(stocks: Sequence[Stock], wish: Wish) -> tuple[_Limit, ...]:
    """All limits but the mass, as rows."""
    logs = log_flows(stocks, wish)
    limits = [
        _Limit(name=m, wanted=share, high=1.0, scale=1.0,
               factors=tuple(s.foreign.get(m, 0.0) / share for s in stocks))
        for m, share in wish.limits.items()
    ]  # fmt: skip
    if wish.flow_low is not None:
        down = tuple(-v for v in logs)
        limits.append(
            _Limit(
                name=FLOW_LOW, wanted=wish.flow_low, factors=down, high=-log(wish.flow_low), scale=log(2.0)
            )
        )
    if wish.flow_high is not None:
        limits.append(
            _Limit(
                name=FLOW_HIGH, wanted=wish.flow_high, factors=logs, high=log(wish.flow_high), scale=log(2.0)
            )
        )
    return tuple(limits)


def _elastic(
    stocks: Sequence[Stock], wish: Wish, limits: Sequence[_Limit], loose: set[str], solver: Solver
) -> tuple[Loosened, ...]:
    """The least loosening of the `loose` limits that lets a mix exist; empty where it does not help."""
    count = len(stocks)
    sum_row = Row(columns=tuple(range(count)), factors=(1.0,) * count, low=1.0, high=1.0)
    rows = [sum_row]
    slack_of: dict[str, int] = {}
    for limit in limits:
        row = Row(columns=tuple(range(count)), factors=limit.factors, low=-inf, high=limit.high)
        if limit.name in loose:
            slack_of[limit.name] = count + len(slack_of)
            row = replace(
                row, columns=(*row.columns, slack_of[limit.name]), factors=(*row.factors, -limit.scale)
            )
        rows.append(row)
    caps = tuple(min(s.mass_g / wish.mass_g, 1.0) for s in stocks)
    found = solver.solve(
        LinearProgram(
            cost=(*(0.0,) * count, *(1.0,) * len(slack_of)), upper=(*caps, *(inf,) * len(slack_of)),
            whole=(False,) * (count + len(slack_of)), rows=tuple(rows),
        )
    )  # fmt: skip
    if found is None:
        return ()
    slacks = {
        limit: limit.scale * found.values[slack_of[limit.name]] for limit in limits if limit.name in loose
    }
    return tuple(
        Loosened(limit=limit.name, wanted=limit.wanted, needed=limit.needed(slack))
        for limit, slack in slacks.items()
        if slack > _ROUNDING
    )


def _reachable_g(stocks: Sequence[Stock], limits: Sequence[_Limit], solver: Solver) -> float:
    """[g] The most that can be mixed within every limit, whatever the charge needs."""
    if not stocks:
        return 0.0
    every = tuple(range(len(stocks)))
    rows = tuple(
        Row(columns=every, factors=tuple(f - limit.high for f in limit.factors), low=-inf, high=0.0)
        for limit in limits
    )
    program = LinearProgram(
        cost=(-1.0,) * len(stocks),
        upper=tuple(s.mass_g for s in stocks),
        whole=(False,) * len(stocks),
        rows=rows,
    )
    found = solver.solve(program)
    return -found.cost if found else 0.0
