"""Plan a charge: what the mould needs, how it looks in boxes, how it is filled, what the oven may reach."""

from dataclasses import dataclass
from math import ceil

from intake.desk.campaign import Campaign
from intake.desk.cautions import COMMANDS, cautions_shown
from intake.desk.toolbox import spec_of
from intake.errors import BadInput
from intake.handbook import Handbook
from intake.spread import Spread, mean_of
from intake.table.charge.heat import oven_limits
from intake.table.charge.progress import usual_piece
from intake.table.charge.target import ChargePlan, ChargeSpec, charge_plan, solid_density
from intake.table.compat.cautions import Caution
from intake.table.item import Item
from intake.table.kinds import Flow
from intake.table.resins import Reason
from intake.table.yields.bulk import pile_l
from intake.table.yields.losses import spread_of
from intake.table.yields.shred import YieldModel

_CM3_PER_L = 1000.0
_MOST_KWH = 1000.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Oven:
    """What is known of the heating.

    Attributes:
        melt_c: [degC] wanted of the melt; None: the usual one.
        setting_c: [degC] of the dial; None: the melt's.
        mould_c: [degC] what the mould stands by its maker; None: nobody asked.
        parchment_c: [degC] what the parchment stands; None: nobody asked.
        measured_kwh: [kWh] what the oven drew; None: not measured.
    """

    melt_c: float | None = None
    setting_c: float | None = None
    mould_c: float | None = None
    parchment_c: float | None = None
    measured_kwh: float | None = None

    def __post_init__(self) -> None:
        kwh = self.measured_kwh
        if kwh is not None and not 0.0 < kwh <= _MOST_KWH:
            expected = f"kilowatt hours above 0 and up to {_MOST_KWH:g}"
            raise BadInput(where="Measured energy", got=f"{kwh:g}", expected=expected)


@dataclass(frozen=True, slots=True, kw_only=True)
class Pile:
    """How many whole pieces of one kind make the charge, and [L] their room."""

    kind: str
    pieces: int
    litres: Spread


@dataclass(frozen=True, slots=True, kw_only=True)
class ChargeAnswer:
    """Everything there is to say about a charge.

    Attributes:
        plan: the rooms' plan.
        pile: whole pieces that make it; None where no kind was named.
        melt_l, solid_l: [L] room of the charge as melt and cold.
        hottest_c: [degC] what the oven may reach at its setting.
        oven: what was said of the heating.
        heat_share: [-] of the measured energy that is in the plastic; None where none was measured.
        reasons: what to know, the plan's own first.
        cautions: what to mind before heating.
        sources: keys of the works behind the figures.
    """

    plan: ChargePlan
    pile: Pile | None
    melt_l: Spread
    solid_l: Spread
    hottest_c: float
    oven: Oven
    heat_share: float | None
    reasons: tuple[Reason, ...]
    cautions: tuple[Caution, ...]
    sources: tuple[str, ...]


def plan_charge(
    handbook: Handbook, spec: ChargeSpec, *, form: str = "granulator-flake", oven: Oven | None = None,
    kind: str | None = None, shredder: str = "granulator", notes: tuple[Reason, ...] = (),
) -> ChargeAnswer:  # fmt: skip
    """The plan of a charge with everything beside it; nothing is recorded.

    Args:
        handbook: the tables.
        spec: what is to be moulded.
        form: form of shred that goes in.
        oven: what is known of the heating.
        kind: a kind of item, to say how many of it make the charge and how large that pile is.
        shredder: that cuts it, for what is lost on the way.
        notes: how the cavity was measured.

    Raises:
        BadInput: a value cannot be meant, or the resin cannot be melted in an oven.
        UnknownName: no such form or kind.
    """
    heating = oven or Oven()
    plan = charge_plan(spec, handbook.charge, form=form, temp_c=heating.melt_c)
    setting_c = plan.melt_temp_c if heating.setting_c is None else heating.setting_c
    limits = oven_limits(setting_c, (heating.mould_c, heating.parchment_c), handbook.heat)
    at_heat = (handbook.melts.state_at(spec.resin, plan.melt_temp_c),)
    density = solid_density(spec.resin, handbook.resins)
    kwh = heating.measured_kwh
    return ChargeAnswer(
        plan=plan,
        pile=None if kind is None else _pile(handbook, plan, kind, shredder),
        melt_l=plan.charge_g / plan.melt.density_g_cm3 / _CM3_PER_L,
        solid_l=plan.charge_g / spread_of(density, "solid density") / _CM3_PER_L,
        hottest_c=setting_c + handbook.heat.overshoot_k.typical,
        oven=heating,
        heat_share=None if kwh is None else mean_of(plan.heat_kwh) / kwh,
        reasons=(*notes, *plan.reasons, *at_heat, *limits),
        cautions=cautions_shown(handbook, COMMANDS["charge"], (spec.resin,)),
        sources=plan.sources,
    )


def water_filled_cm3(handbook: Handbook, water_g: float, temp_c: float) -> tuple[float, Reason]:
    """[cm3] Cavity that so much water fills to the rim, and the sentence about it.

    Raises:
        BadInput: a temperature at which the density of water is not known here.
    """
    handbook.baths.checked_temp_c(temp_c, where="Water temperature")
    density = handbook.baths.water_g_cm3(temp_c)
    return water_g / density, Reason.of("water_filled", water_g=water_g, water_c=temp_c)


def charge_of(campaign: Campaign, charge_id: str | None) -> ChargeSpec:
    """The charge that is meant: the named one, or the only one.

    Raises:
        BadInput: no charge has that id, or there are several and none is named.
    """
    known = [c.id for c in campaign.charge]
    if charge_id is None and len(known) > 1:
        raise BadInput(where="--charge", got="nothing", expected="one of: " + ", ".join(known))
    wanted = known[0] if charge_id is None else charge_id
    if wanted not in known:
        raise BadInput(where="--charge", got=wanted, expected="one of: " + ", ".join(known))
    return spec_of(wanted, campaign)


def form_of(handbook: Handbook, shredder: str) -> str:
    """The form of shred that a cutting machine makes of thin hard walls."""
    return handbook.bulk.form_of[shredder, Flow.BLOW]


def _pile(handbook: Handbook, plan: ChargePlan, kind: str, shredder: str) -> Pile:
    """How many pieces of a kind give the charge on average, and the room they take whole."""
    row = handbook.kinds.get(kind, where="--kind")
    model = YieldModel(handbook.kinds, handbook.losses, shredder)
    piece = usual_piece(row)
    count = ceil(mean_of(plan.charge_g) / mean_of(model.item_yield(piece).shred_g))
    item = Item(kind=row, count=count, label=piece.label, closure=piece.closure, residue=piece.residue)
    return Pile(
        kind=row.names[0], pieces=count, litres=pile_l([(item, model.item_yield(item))], handbook.bulk)
    )
