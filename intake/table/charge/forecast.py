"""What the next arrivals will bring: percentiles of the charge reached, in closed form.

An arrival is one piece as it usually comes. It is of kind i with probability p_i; what the shares leave over
brings nothing (refused, or of another resin). With N_i pieces of kind i among k arrivals (multinomial), one
piece giving m_i with a doubt that all pieces of the kind share (covariances C) and a variance of its own (o):

    mean = E[S] + k sum p m
    variance = Var(S + k sum p m) + k [sum p (m² + C_ii + o) - (sum p m)² - Var(sum p m)]

since E[N_i N_j] = k (k - 1) p_i p_j + k p_i [i = j]. Both are exact. Percentiles and chances take the sum as a
gamma shifted to these and to the third moment of which pieces come, k E[(x - E x)³]: where few heavy pieces decide,
a normal is 5 to 8 points off (checked against simulation with scipy).
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import sqrt

from intake.errors import BadInput
from intake.spread import Spread, doubtful, mean_of, sd_of, total
from intake.table.bins.tail import chance_above, quantile
from intake.table.charge.progress import WANTED, first_enough, usual_piece
from intake.table.charge.target import ChargePlan
from intake.table.kinds import Kind
from intake.table.yields.shred import YieldModel

_PERCENTILES = (("p5", 0.05), ("p25", 0.25), ("p50", 0.5), ("p75", 0.75), ("p95", 0.95))
MOST_ARRIVALS = 100_000
_ROUNDING = 1e-9


@dataclass(frozen=True, slots=True, kw_only=True)
class MixShare:
    """A kind and the probability [-] that the next arrival is one of it that may go into the charge."""

    kind: Kind
    share: float


@dataclass(frozen=True, slots=True, kw_only=True)
class FanPoint:
    """The charge reached after some arrivals, as shares of its mean need.

    Attributes:
        arrivals: pieces from now on.
        p5, p25, p50, p75, p95: [-] percentiles of shred / charge, not below 0.
        probability_met: [-] that the shred reaches the charge.
    """

    arrivals: int
    p5: float
    p25: float
    p50: float
    p75: float
    p95: float
    probability_met: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Arrivals:
    """What one arrival brings.

    Attributes:
        shared_g: [g] its mean as a spread that holds only the doubt which all arrivals share.
        own_variance_g2: [g2] what averages out: which kind comes, and each piece's own doubt.
        own_third_g3: [g3] third central moment of one arrival.
    """

    shared_g: Spread
    own_variance_g2: float
    own_third_g3: float


def arrivals_of(model: YieldModel, mix: Sequence[MixShare]) -> Arrivals:
    """What one arrival of the mix brings.

    Raises:
        BadInput: a share is outside 0 to 1, all together are above 1, or nothing is left.
    """
    given = sum(m.share for m in mix)
    if any(not 0.0 <= m.share <= 1.0 for m in mix) or not 0.0 < given <= 1.0 + _ROUNDING:
        raise BadInput(where="Mix of arrivals", got=f"{given:g}", expected="shares of 0 to 1, in all up to 1")
    pieces = [(m.share, *_shared_and_own(model, m.kind)) for m in mix]
    shared_g = total(p * shared for p, shared, _ in pieces)
    known = [(p, mean_of(shared), sd_of(shared) ** 2 + own_g2) for p, shared, own_g2 in pieces]
    mean_g = mean_of(shared_g)
    squares_g2 = sum(p * (g**2 + doubt_g2) for p, g, doubt_g2 in known)
    cubes_g3 = sum(p * (g**3 + 3.0 * g * doubt_g2) for p, g, doubt_g2 in known)
    return Arrivals(
        shared_g=shared_g,
        own_variance_g2=max(squares_g2 - mean_g**2 - sd_of(shared_g) ** 2, 0.0),
        own_third_g3=cubes_g3 - 3.0 * mean_g * squares_g2 + 2.0 * mean_g**3,
    )


def after(shred_g: Spread, arrivals: Arrivals, count: int) -> Spread:
    """[g] Shred after `count` more arrivals, its doubt correlated with what is there already."""
    own_sd_g = sqrt(count * arrivals.own_variance_g2)
    return shred_g + count * arrivals.shared_g + doubtful(0.0, own_sd_g, "which pieces arrive")


def fan(plan: ChargePlan, shred_g: Spread, arrivals: Arrivals, counts: Sequence[int]) -> tuple[FanPoint, ...]:
    """Percentiles of the charge reached after each number of arrivals.

    Raises:
        BadInput: a number of arrivals is below 0 or beyond any table.
    """
    for count in counts:
        if not 0 <= count <= MOST_ARRIVALS:
            raise BadInput(where="Arrivals", got=count, expected=f"a number from 0 to {MOST_ARRIVALS}")
    return tuple(_point(plan, shred_g, arrivals, count) for count in counts)


def chance_met(plan: ChargePlan, shred_g: Spread, arrivals: Arrivals, count: int) -> float:
    """[-] Probability that the shred reaches the charge after `count` more arrivals."""
    gap_g = after(shred_g, arrivals, count) - plan.charge_g
    return chance_above(
        0.0, mean=mean_of(gap_g), variance=sd_of(gap_g) ** 2, third=count * arrivals.own_third_g3
    )


def arrivals_until(
    plan: ChargePlan, shred_g: Spread, arrivals: Arrivals, wanted: float = WANTED
) -> int | None:
    """How many arrivals make the charge `wanted` (0..1) sure; None where 100,000 do not."""

    def enough(count: int) -> bool:
        return chance_met(plan, shred_g, arrivals, count) >= wanted

    return 0 if enough(0) else first_enough(enough, MOST_ARRIVALS)


def _point(plan: ChargePlan, now_g: Spread, arrivals: Arrivals, count: int) -> FanPoint:
    """Percentiles after so many arrivals."""
    shred_g, need_g = after(now_g, arrivals, count), mean_of(plan.charge_g)
    third_g3 = count * arrivals.own_third_g3
    at = {
        name: quantile(share, mean=mean_of(shred_g), variance=sd_of(shred_g) ** 2, third=third_g3) / need_g
        for name, share in _PERCENTILES
    }
    return FanPoint(
        arrivals=count, probability_met=chance_met(plan, now_g, arrivals, count),
        **{name: max(value, 0.0) for name, value in at.items()},
    )  # fmt: skip


def _shared_and_own(model: YieldModel, kind: Kind) -> tuple[Spread, float]:
    """[g] Shred of a piece with only the doubt that another piece of the kind shares, and [g2] the rest of it."""
    one, another = (model.item_yield(usual_piece(kind)).shred_g for _ in range(2))
    common = one.derivatives.keys() & another.derivatives.keys()
    shared = mean_of(one) + total(one.derivatives[v] * (v - mean_of(v)) for v in common)
    return shared, sd_of(one) ** 2 - sd_of(shared) ** 2
