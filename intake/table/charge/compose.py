"""How much of which lot goes into a charge: the mass met, every limit kept, least colour mixing, fewest lots.

With u the share of the mix that comes from a lot: minimise over u and over the colours k there are

    sum u ΔE00(lot, k) + opening · (lots opened)

with sum u = 1, u ≤ mass / charge, sum u · foreign ≤ limit for each material, and the logarithm of the blend's
flow rate, sum u ln f, inside the window. The colour k is the one that the mix looks most like (a weighted
median). `blend.py` finds it exactly.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import inf
from types import MappingProxyType

from intake.errors import IntakeError
from intake.table.bins.flow import melt_flow_log_additive
from intake.table.charge.blend import WINS, Blend, best_blend
from intake.table.charge.linear import Solver
from intake.table.charge.misfit import Misfit, misfit
from intake.table.charge.stock import Stock, Wish

PINCH = 1e-4
"""[-] of the charge: a lot that holds less is left closed."""
_ROUNDING = 1e-6


@dataclass(frozen=True, slots=True, kw_only=True)
class Composition:
    """A mix that keeps every limit.

    Attributes:
        taken_g: [g] how much of which stock, most first.
        flow_g_10min: [g/10 min] of the blend, log-additive; None where the flow of a lot is unknown.
        foreign: [-] expected share of each foreign material.
        mixing_de00: [-] mean ΔE00 of the mix from the colour it looks most like.
        cost: [-] `mixing_de00` plus what the opened lots cost; no other mix has less.
    """

    taken_g: Mapping[str, float]
    flow_g_10min: float | None
    foreign: Mapping[str, float]
    mixing_de00: float
    cost: float


def compose(stocks: Sequence[Stock], wish: Wish, solver: Solver) -> Composition | Misfit:
    """The best mix, or what stands against every mix and by how much.

    Raises:
        IntakeError: the solver's answer does not keep a limit; nothing is told rather than something wrong.
    """
    usable = [s for s in stocks if s.mass_g > PINCH * wish.mass_g]
    found = best_blend(usable, wish, solver) if usable else None
    return _checked(usable, wish, found) if found else misfit(usable, wish, solver)


def _checked(stocks: Sequence[Stock], wish: Wish, blend: Blend) -> Composition:
    """The mix in grams, each limit worked out again from what is taken, not from what the solver says."""
    taken = [
        (s, u * wish.mass_g, gap)
        for s, u, gap in zip(stocks, blend.shares, blend.gaps, strict=True)
        if u > WINS
    ]
    mass_g = sum(g for _, g, _ in taken)
    flow = _blend_flow([(g, s.flow_g_10min) for s, g, _ in taken])
    materials = sorted({m for s, _, _ in taken for m in s.foreign})
    foreign = {m: sum(g * s.foreign.get(m, 0.0) for s, g, _ in taken) / mass_g for m in materials}
    kept = (
        abs(mass_g - wish.mass_g) <= _ROUNDING * wish.mass_g
        and all(g <= s.mass_g * (1.0 + _ROUNDING) for s, g, _ in taken)
        and all(foreign.get(m, 0.0) <= limit * (1.0 + _ROUNDING) for m, limit in wish.limits.items())
        and (wish.flow_low is None or (flow or 0.0) >= wish.flow_low * (1.0 - _ROUNDING))
        and (wish.flow_high is None or (flow or inf) <= wish.flow_high * (1.0 + _ROUNDING))
    )
    if not kept:
        raise IntakeError("The mix that was worked out does not keep its limits; it is not shown.")
    ranked = sorted(taken, key=lambda row: (-row[1], row[0].id))
    return Composition(
        taken_g=MappingProxyType({s.id: g for s, g, _ in ranked}), flow_g_10min=flow,
        foreign=MappingProxyType(foreign), cost=blend.cost,
        mixing_de00=sum(g * gap for _, g, gap in taken) / mass_g,
    )  # fmt: skip


def _blend_flow(parts: Sequence[tuple[float, float | None]]) -> float | None:
    """[g/10 min] Flow of the blend; None where one of its parts is unknown."""
    known = [(g, flow) for g, flow in parts if flow is not None]
    return melt_flow_log_additive(known) if len(known) == len(parts) else None
