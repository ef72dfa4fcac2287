"""What the first screen shows, as frozen values; the desk makes them."""

from dataclasses import dataclass

from intake.spread import Interval
from intake.table.resins import ResinId


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
    resin: ResinId
    shred: Interval
    charge: Interval
    probability_met: float


@dataclass(frozen=True, slots=True, kw_only=True)
class HomeView:
    """The campaign at a glance; `hints` are whole sentences, the most useful first."""

    campaign: str
    charges: tuple[ChargeView, ...]
    accepted: int
    held: int
    refused: int
    hints: tuple[str, ...] = ()
