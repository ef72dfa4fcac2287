"""The outlet list: good plastic that was refused here, and where it could go in general words."""

from dataclasses import dataclass

from intake.desk.desk import Desk
from intake.ledger.state import ItemState
from intake.spread import Interval, interval
from intake.table.compat.cautions import OLD_PIGMENTS
from intake.table.compat.decision import Verdict
from intake.table.resins import ResinId


@dataclass(frozen=True, slots=True, kw_only=True)
class OutletLine:
    """One refused item that is fit for somebody else.

    Attributes:
        item: its id.
        kind: plain name of its kind.
        count: pieces.
        resin: what it was judged to be, and the [-] probability of that.
        probability: see `resin`.
        colour: as a person said it.
        mass: [g] as it came.
        estimated: True where no scale was used.
        outlet: where it could go; its words are `outlet.<id>`.
    """

    item: str
    kind: str
    count: int
    resin: str
    probability: float
    colour: str
    mass: Interval
    estimated: bool
    outlet: str


@dataclass(frozen=True, slots=True, kw_only=True)
class OutletTotal:
    """What goes to one outlet together: the lines, pieces and [g] their mass."""

    outlet: str
    lines: tuple[OutletLine, ...]
    pieces: int
    mass_g: float


def outlet_list(desk: Desk) -> tuple[OutletLine, ...]:
    """Every refused item that is good plastic, in the order they came; hazards and dangerous content are none."""
    lines = (_line(desk, item) for item in desk.with_verdict(Verdict.REFUSE))
    return tuple(line for line in lines if line is not None)


def by_outlet(lines: tuple[OutletLine, ...]) -> tuple[OutletTotal, ...]:
    """The list by outlet, the heaviest first."""
    names = dict.fromkeys(line.outlet for line in lines)
    totals = [_total(name, tuple(line for line in lines if line.outlet == name)) for name in names]
    return tuple(sorted(totals, key=lambda t: (-t.mass_g, t.outlet)))


def _total(outlet: str, lines: tuple[OutletLine, ...]) -> OutletTotal:
    pieces, mass_g = sum(line.count for line in lines), sum(line.mass.mean for line in lines)
    return OutletTotal(outlet=outlet, lines=lines, pieces=pieces, mass_g=mass_g)


def _line(desk: Desk, state: ItemState) -> OutletLine | None:
    """The line of one refused item; None where it is no good plastic."""
    told = state.placing_verdict or state.resin_verdict
    if told is None or OLD_PIGMENTS in told.cautions:
        return None
    book = desk.handbook
    hazards = frozenset(r for host in desk.campaign.hosts for r in book.matrix.hazards(host))
    resin = ResinId(told.resin)
    outlet = book.outlets.outlet(resin, told.probability, told.reasons, hazards)
    if outlet is None:
        return None
    known = desk.numbers(state.id)
    return OutletLine(
        item=state.id,
        kind=known.item.kind.names[0],
        count=state.facts.count,
        resin=told.resin,
        probability=told.probability,
        colour=state.facts.colour,
        mass=interval(known.yields.received_g),
        estimated=known.yields.estimated,
        outlet=outlet,
    )
