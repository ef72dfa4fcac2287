"""Does the time that is left today fill the mould?"""

from collections.abc import Sequence
from dataclasses import dataclass

from intake.spread import Interval, Spread, certain, chance_at_least, interval, mean_of
from intake.table.charge.target import ChargePlan
from intake.table.resins import Reason, ResinId
from intake.table.yields.worth import Worth, in_time, minutes_for


@dataclass(frozen=True, slots=True, kw_only=True)
class ChargeInTime:
    """What the pile does for one charge when all the minutes go to it.

    Attributes:
        id: of the charge.
        resin: its host.
        have: [g] clean shred there is already.
        charge: [g] what fills the mould.
        minutes_needed: [min] expected until it is full; None where the pile does not hold enough.
        reached: [g] shred there would be after the minutes given; None where none were.
        chance: [-] that this fills the mould; None where no minutes were given.
        reason: the answer to "does the time reach?", in one sentence.
    """

    id: str
    resin: ResinId
    have: Interval
    charge: Interval
    minutes_needed: float | None
    reached: Interval | None
    chance: float | None
    reason: Reason


def charge_in_time(
    plan: ChargePlan, mine: Sequence[Worth], have: Spread, minutes: float | None
) -> ChargeInTime:
    """What a pile does for one charge when all the minutes go to it.

    Args:
        plan: the charge.
        mine: the rows that may go into it, best first.
        have: [g] clean shred there is already.
        minutes: [min] there are; None where nobody said.
    """
    needed = minutes_for(mine, mean_of(plan.charge_g) - mean_of(have))
    reached = None if minutes is None else have + in_time(mine, minutes).shred_g
    chance = None if reached is None else chance_at_least(reached, plan.charge_g)
    return ChargeInTime(
        id=plan.spec.id,
        resin=plan.spec.resin,
        have=interval(have + certain(0.0)),
        charge=interval(plan.charge_g),
        minutes_needed=needed,
        reached=None if reached is None else interval(reached),
        chance=chance,
        reason=_answer(plan.spec.id, needed, minutes, reached, chance, mean_of(plan.charge_g)),
    )


def _answer(
    charge: str, needed: float | None, minutes: float | None, reached: Spread | None, chance: float | None,
    charge_g: float,
) -> Reason:  # fmt: skip
    """Whether the time that is left fills the mould."""
    if needed is None and minutes is None:
        return Reason.of("worth_pile_too_small", charge=charge)
    if minutes is None or reached is None or chance is None:
        return Reason.of("worth_minutes_needed", charge=charge, minutes=round(needed or 0.0))
    reached_g = mean_of(reached)
    if reached_g >= charge_g:
        return Reason.of(
            "worth_time_reaches", charge=charge, minutes=round(minutes), reached_g=reached_g,
            charge_g=charge_g, chance=chance,
        )  # fmt: skip
    if needed is None:
        return Reason.of(
            "worth_pile_too_small_in_time", charge=charge, minutes=round(minutes), reached_g=reached_g,
            charge_g=charge_g,
        )  # fmt: skip
    return Reason.of(
        "worth_time_too_short", charge=charge, minutes=round(minutes), reached_g=reached_g,
        charge_g=charge_g, needed=round(needed),
    )  # fmt: skip
