"""The pile best first: what to clean next, and whether the time that is left fills the mould."""

from dataclasses import dataclass

from intake.desk.desk import Desk
from intake.desk.views.item import ItemHead, head
from intake.desk.worth import WorthLine, worth_of_pile
from intake.desk.worth_charge import ChargeInTime
from intake.spread import Interval, interval
from intake.table.compat.decision import Verdict
from intake.table.resins import Reason
from intake.table.yields.footprint import Footprint


@dataclass(frozen=True, slots=True, kw_only=True)
class PileLine:
    """One item that lies in no bin yet.

    Attributes:
        item: in a few words.
        g_per_minute: [g/min] of clean shred to be expected.
        minutes: [min] of hand work that is left.
        shred: [g] it gives.
        verdict: as it would be now.
        reasons: what to know about its worth.
    """

    item: ItemHead
    g_per_minute: float
    minutes: Interval
    shred: Interval
    verdict: Verdict
    reasons: tuple[Reason, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class PileView:
    """The pile and the time.

    Attributes:
        lines: best first.
        left_out: items that give nothing.
        charges: what the pile does for each charge in the minutes given.
        footprints: of one kilogram of shred, by host.
        virgin_source: the work behind the figures of new resin.
        own_pace: True where the table's own logged times count.
    """

    lines: tuple[PileLine, ...]
    left_out: tuple[ItemHead, ...]
    charges: tuple[ChargeInTime, ...]
    footprints: tuple[Footprint, ...]
    virgin_source: str
    own_pace: bool


def pile_view(desk: Desk, minutes: float | None = None) -> PileView:
    """The items in hand that lie in no bin yet, best first; too slow to be asked while drawing.

    Raises:
        BadInput: minutes that cannot be.
    """
    made = worth_of_pile(desk, minutes=minutes)
    return PileView(
        lines=tuple(_line(desk, line) for line in made.ordered),
        left_out=tuple(head(desk, line.worth.key) for line in made.left_out),
        charges=made.charges,
        footprints=made.footprints,
        virgin_source=desk.handbook.sources["S-PMC"].cited,
        own_pace=made.logged_rows > 0.0,
    )


def _line(desk: Desk, line: WorthLine) -> PileLine:
    return PileLine(
        item=head(desk, line.worth.key),
        g_per_minute=line.worth.g_per_minute,
        minutes=interval(line.worth.minutes),
        shred=interval(line.worth.shred_g),
        verdict=line.verdict.verdict,
        reasons=line.worth.reasons,
    )
