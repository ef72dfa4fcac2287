"""Finish a part: cold and trimmed it is weighed or measured, and the next charge is better known."""

from dataclasses import dataclass

from intake.desk.desk import Desk
from intake.desk.toolbox import spec_of
from intake.errors import BadInput, Refusal, UnknownName
from intake.ledger.events import PartMade, Undone
from intake.spread import Interval, interval
from intake.table.charge.target import ChargePlan, charge_plan
from intake.words.figures import interval_text


@dataclass(frozen=True, slots=True, kw_only=True)
class PartOutcome:
    """What a part changed.

    Attributes:
        charge: its id.
        parts: how many parts of that resin this table has told, this one counted.
        shrinkage_before, shrinkage: [-] linear, taken for the next part before and after this one.
        charge_before, charge_g: [g] of shred for the next part before and after this one.
    """

    charge: str
    parts: int
    shrinkage_before: Interval
    shrinkage: Interval
    charge_before: Interval
    charge_g: Interval


def finish_part(
    desk: Desk, charge_id: str, *, mass_g: float | None = None, side_mm: float | None = None,
    mould_mm: float | None = None, sure: bool = False, by: str | None = None,
) -> PartOutcome:  # fmt: skip
    """Record a part that was made from a charge; gives what it changed.

    Args:
        desk: the table.
        charge_id: one of the campaign's charges; its mould was pressed while it cooled.
        mass_g: [g] of the cold, trimmed part; None: not weighed.
        side_mm: [mm] one side of it; None: not measured.
        mould_mm: [mm] the same side of its mould.
        sure: True where a figure far from what was expected was looked at again; it is kept and teaches nothing.
        by: who measured it.

    Raises:
        BadInput: nothing was measured, or a figure that cannot be.
        UnknownName: the campaign has no such charge.
        Refusal: its mould is not pressed, or a figure is so far off that it is asked about first.
    """
    with desk.one_at_a_time():
        charge = next((c for c in desk.campaign.charge if c.id == charge_id), None)
        if charge is None:
            raise UnknownName(where="Charge", got=charge_id, known=[c.id for c in desk.campaign.charge])
        if not charge.pressed:
            raise Refusal(
                f"The mould of charge {charge.id} is not pressed while it cools. Such parts draw in by another "
                "amount each time, so nothing is learned from one. Nothing was saved."
            )
        if side_mm is not None and mould_mm is not None and side_mm > mould_mm:
            expected = "the part's side first, then its mould's: the part is the shorter one"
            raise BadInput(where="Side of the part", got=f"{side_mm:g}/{mould_mm:g} mm", expected=expected)
        made = PartMade(
            charge=charge.id, resin=charge.resin, cavity_cm3=charge.cavity, mass_g=mass_g, side_mm=side_mm,
            mould_mm=mould_mm, by=by,
        )  # fmt: skip
        before, after = desk.tools.plans[charge.id], _after(desk, made)
        if _questioned(after) > _questioned(before) and not sure:
            raise Refusal(
                f"This is far from what was expected of a part of charge {charge.id}: {_expected(before)}. Weigh "
                "and measure it again, and say that it is right if it is. Nothing was saved."
            )
        desk.record([made])
    return PartOutcome(
        charge=charge.id, parts=len(after.spec.parts),
        shrinkage_before=interval(before.shrinkage.used), shrinkage=interval(after.shrinkage.used),
        charge_before=interval(before.charge_g), charge_g=interval(after.charge_g),
    )  # fmt: skip


def undo_last_part(desk: Desk, charge_id: str) -> None:
    """Undo the last part that was told of a charge.

    Raises:
        BadInput: none was told.
    """
    with desk.one_at_a_time():
        told = [f for f in desk.state.finished if f.made.charge == charge_id]
        if not told:
            raise BadInput(where="Part", got=charge_id, expected="a charge of which a part was told")
        desk.record([Undone(event=told[-1].event)])


def _after(desk: Desk, made: PartMade) -> ChargePlan:
    """The plan of the charge after one more part; nothing is recorded."""
    finished = (*(f.made for f in desk.state.finished), made)
    return charge_plan(spec_of(made.charge, desk.campaign, finished), desk.handbook.charge)


def _questioned(plan: ChargePlan) -> int:
    """How many figures of finished parts were too far off to learn from."""
    return sum(r.code == "part_far_off" for r in plan.reasons)


def _expected(plan: ChargePlan) -> str:
    """What was expected of the next part, in words."""
    low, high = (100.0 * v for v in (interval(plan.shrinkage.used).low, interval(plan.shrinkage.used).high))
    return f"{interval_text(interval(plan.part_g))}, {low:.1f} to {high:.1f} % shorter than its mould"
