"""The placing verdict as a person is told it: which bin, how much it gives with its doubt, and why."""

from dataclasses import dataclass

from intake.desk.desk import Desk
from intake.desk.views.item import ItemHead, head
from intake.errors import BadInput
from intake.spread import Interval, interval, mean_of
from intake.table.compat.decision import Verdict
from intake.table.resins import Reason

_LEAST_G = 0.5
"""[g] less than this that came off is not worth a line."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PlacingView:
    """Where the item went.

    Attributes:
        item: what was in hand.
        verdict: accept, hold or refuse.
        bin: id of the bin it lies in; empty where it lies in none.
        bin_resin, bin_colour, bin_flow: what the bin takes; empty where there is none.
        opens_bin: True where the bin was opened for it.
        net, shred, received: [g] clean plastic, clean shred, as it came.
        removed: [g] what came or comes off, by name, the heaviest first.
        estimated: True where no scale was used.
        reasons: why it goes there, or nowhere.
        notes: what to know about the mass.
        minutes: [min] spent on cleaning it; 0 where nobody looked at the clock.
    """

    item: ItemHead
    verdict: Verdict
    bin: str
    bin_resin: str
    bin_colour: str
    bin_flow: str
    opens_bin: bool
    net: Interval
    shred: Interval
    received: Interval
    removed: tuple[tuple[str, Interval], ...]
    estimated: bool
    reasons: tuple[Reason, ...]
    notes: tuple[Reason, ...]
    minutes: float


def placing_view(desk: Desk, item_id: str) -> PlacingView:
    """Where an item went.

    Raises:
        BadInput: the table has no such item, or it was not placed yet.
    """
    known = desk.numbers(item_id)
    told, yields = known.state.placing_verdict, known.yields
    if told is None:
        raise BadInput(where="Item", got=item_id, expected="an item that was weighed and placed")
    opened = desk.state.bins[known.state.bin].opened if known.state.bin else None
    heavy = sorted(yields.removed.items(), key=lambda row: -mean_of(row[1]))
    return PlacingView(
        item=head(desk, item_id),
        verdict=told.verdict,
        bin=known.state.bin or "",
        bin_resin=opened.resin if opened else "",
        bin_colour=opened.colour if opened else "",
        bin_flow=opened.flow if opened else "",
        opens_bin=any(r.code.startswith("bin_new") for r in told.reasons),
        net=interval(yields.net_g),
        shred=interval(yields.shred_g),
        received=interval(yields.received_g),
        removed=tuple((name, interval(g)) for name, g in heavy if mean_of(g) >= _LEAST_G),
        estimated=yields.estimated,
        reasons=told.reasons,
        notes=yields.reasons,
        minutes=sum(p.minutes or 0.0 for p in known.state.prep),
    )
