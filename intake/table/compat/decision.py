"""The three verdicts and what a decision says."""

from dataclasses import dataclass
from enum import StrEnum

from intake.table.resins import Reason, ResinId


class Verdict(StrEnum):
    """What happens to an item now."""

    ACCEPT = "accept"
    HOLD = "hold"
    REFUSE = "refuse"


@dataclass(frozen=True, slots=True, kw_only=True)
class ResinVerdict:
    """Before prep: is the item worth cleaning?

    Attributes:
        verdict: accept, hold (needs a test) or refuse.
        resin: the most likely resin.
        probability: [-] of that resin.
        host: the charge's resin that it would melt with; None where it melts with none.
        reasons: why, the most important first.
        cautions: ids of cautions to show with it.
    """

    verdict: Verdict
    resin: ResinId
    probability: float
    host: ResinId | None
    reasons: tuple[Reason, ...]
    cautions: tuple[str, ...] = ()
