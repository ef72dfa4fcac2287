"""One charge: what the mould needs, how small the pile gets, how it is filled, what is to be expected."""

from dataclasses import dataclass

from intake.desk.charge import Oven, charge_of, form_of, plan_charge
from intake.desk.compose import compose_charge
from intake.desk.desk import Desk
from intake.desk.forecast import Forecast, forecast_charge
from intake.desk.report import drawn_g
from intake.spread import Interval, interval, mean_of
from intake.table.charge.compose import Composition
from intake.table.charge.fills import Fills
from intake.table.resins import Reason, ResinId

_ML_PER_L = 1000.0


@dataclass(frozen=True, slots=True, kw_only=True)
class BoxesView:
    """How much room the same plastic takes: [L] as a pile of whole pieces, as shred, as melt and as the cold part.

    `kind` and `pieces` say what the pile is made of.
    """

    kind: str
    pieces: int
    pile: Interval
    shred: Interval
    melt: Interval
    part: Interval


@dataclass(frozen=True, slots=True, kw_only=True)
class ChargePlanView:
    """What a mould needs and how it is filled.

    Attributes:
        id, resin: of the charge.
        cavity_l: [L] of the mould.
        part, charge: [g] the cold part, and the clean shred to have.
        level_fill_g: [g] one level fill of melt.
        collar: [g] what must stand above the rim and be pressed in.
        pressed: whether the mould is pressed.
        fills: how many top-ups, and what each adds.
        melt_c, hottest_c: [degC] of the melt, and what the oven may reach at that setting.
        heat_kwh: [kWh] in the plastic, without oven and mould.
        boxes: how it looks.
        reasons: what to know.
    """

    id: str
    resin: str
    cavity_l: float
    part: Interval
    charge: Interval
    level_fill_g: float
    collar: Interval
    pressed: bool
    fills: Fills
    melt_c: float
    hottest_c: float
    heat_kwh: Interval
    boxes: BoxesView
    reasons: tuple[Reason, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Taken:
    """So much of a lot: its id, [g] to take and [g] there are."""

    lot: str
    mass_g: float
    of_g: float


@dataclass(frozen=True, slots=True, kw_only=True)
class MixView:
    """Which lots make the charge.

    Attributes:
        needed: False where all of it was drawn already.
        taken: how much of which; empty where no mix keeps every limit.
        short_g: [g] what is missing while every limit is kept; 0 where there is a mix.
        lots: how many lots could go into it.
    """

    needed: bool
    taken: tuple[Taken, ...]
    short_g: float
    lots: int


def charge_plan_view(desk: Desk, charge_id: str) -> ChargePlanView:
    """The plan of one charge of the campaign; too slow to be asked while drawing.

    Raises:
        BadInput: the campaign has no such charge.
    """
    book, campaign = desk.handbook, desk.campaign
    spec = charge_of(campaign, charge_id)
    kind = _usual_kind(desk, spec.resin)
    form = form_of(book, campaign.shredder)
    limit_c = next(c.mould_limit for c in campaign.charge if c.id == spec.id)
    made = plan_charge(
        book, desk.tools.spec(spec.id), form=form, kind=kind, shredder=campaign.shredder,
        oven=Oven(mould_c=limit_c),
    )  # fmt: skip
    plan, pile = made.plan, made.pile
    if pile is None:
        raise ValueError("a pile was asked for")
    boxes = BoxesView(
        kind=kind, pieces=pile.pieces, pile=interval(pile.litres), shred=interval(plan.shred_volume_l),
        melt=interval(made.melt_l), part=interval(made.solid_l),
    )  # fmt: skip
    return ChargePlanView(
        id=spec.id, resin=spec.resin, cavity_l=spec.cavity_cm3 / _ML_PER_L, part=interval(plan.part_g),
        charge=interval(plan.charge_g), level_fill_g=plan.level_melt_fill_g, collar=interval(plan.collar_g),
        pressed=spec.pressed, fills=plan.fills, melt_c=plan.melt_temp_c, hottest_c=made.hottest_c,
        heat_kwh=interval(plan.heat_kwh), boxes=boxes, reasons=made.reasons,
    )  # fmt: skip


def forecast_view(desk: Desk, charge_id: str) -> Forecast:
    """What is to be expected of one charge; too slow to be asked while drawing.

    Raises:
        BadInput: the campaign has no such charge.
    """
    return forecast_charge(desk, charge_of(desk.campaign, charge_id))


def mix_view(desk: Desk, charge_id: str) -> MixView:
    """Which lots make the charge, from what stands on the shelf; too slow to be asked while drawing.

    Raises:
        BadInput: the campaign has no such charge.
    """
    spec = charge_of(desk.campaign, charge_id)
    if mean_of(desk.tools.plans[spec.id].charge_g - drawn_g(desk, spec.id)) <= 0.0:
        return MixView(needed=False, taken=(), short_g=0.0, lots=0)
    answer = compose_charge(desk, spec)
    result = answer.result
    if isinstance(result, Composition):
        taken = tuple(
            Taken(lot=lot, mass_g=mass_g, of_g=answer.stocks[lot].mass_g)
            for lot, mass_g in result.taken_g.items()
        )
        return MixView(needed=True, taken=taken, short_g=0.0, lots=len(answer.stocks))
    return MixView(needed=True, taken=(), short_g=result.short_g, lots=len(answer.stocks))


def _usual_kind(desk: Desk, resin: ResinId) -> str:
    """The common kind that is most surely of this resin: its pile is what people know."""
    kinds = desk.handbook.kinds
    return max(kinds.common, key=lambda kind: kinds.rows[kind].prior.get(resin, 0.0))
