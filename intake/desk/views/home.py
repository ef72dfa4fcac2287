"""What the first screen shows: how far each charge is, and how many items went which way."""

from dataclasses import dataclass

from intake.desk.desk import Desk
from intake.desk.report import charge_progress, done_resin
from intake.spread import Interval, interval
from intake.table.compat.decision import Verdict


@dataclass(frozen=True, slots=True, kw_only=True)
class ChargeView:
    """How far one charge is.

    Attributes:
        id: of the charge in the campaign.
        resin: its host.
        shred: [g] accepted for it so far.
        charge: [g] what fills the mould.
        probability_met: [-] that `shred` reaches `charge`.
    """

    id: str
    resin: str
    shred: Interval
    charge: Interval
    probability_met: float


@dataclass(frozen=True, slots=True, kw_only=True)
class HomeView:
    """The campaign at a glance."""

    campaign: str
    charges: tuple[ChargeView, ...]
    accepted: int
    held: int
    refused: int


def home_view(desk: Desk) -> HomeView:
    """The campaign as it stands."""
    verdicts = [i.verdict for i in desk.state.items.values()]
    return HomeView(
        campaign=desk.campaign.name,
        charges=tuple(_charges(desk)),
        accepted=verdicts.count(Verdict.ACCEPT),
        held=verdicts.count(Verdict.HOLD),
        refused=verdicts.count(Verdict.REFUSE),
    )


def _charges(desk: Desk) -> list[ChargeView]:
    """Every charge, in the order of the campaign."""
    return [
        ChargeView(
            id=charge_id,
            resin=done_resin(desk, charge_id),
            shred=interval(done.shred_g),
            charge=interval(done.charge_g),
            probability_met=done.probability_met,
        )
        for charge_id, done in charge_progress(desk).items()
    ]
