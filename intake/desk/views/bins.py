"""What stands on the shelf of bins, and the passport of one: what lies in it, how clean it is, what happened."""

from dataclasses import dataclass

from intake.desk import clock
from intake.desk.desk import Desk
from intake.desk.labels import is_tagged
from intake.desk.views.item import ItemHead, head
from intake.errors import BadInput
from intake.ledger.envelope import wall_ms
from intake.ledger.events import BinOpened, LabelPrinted, Placed, TakenBack
from intake.ledger.state import BinState
from intake.spread import Interval, interval, total
from intake.table.bins.budget import chance_over
from intake.table.bins.ids import BinId
from intake.table.bins.placing import Limits, OpenBin
from intake.table.identify.evidence import Evidence

MATERIALS_TOLD = 4
TOLD_FROM = 0.001
"""[-] a material is told when this much of it, or this chance of too much, is to be expected."""
_LEAST_HAZARD = 1e-6
"""[-] the same for one of which hardly any is allowed."""


@dataclass(frozen=True, slots=True, kw_only=True)
class BinTile:
    """One bin at a glance.

    Attributes:
        id: such as QT-04.
        resin, colour, flow, filled: what it takes.
        swatch: the colour as `#RRGGBB`; empty where none would be true.
        items, pieces: how many entries and how many pieces lie in it.
        shred: [g] what it will give.
        full: [-] the larger of its filled grams and litres; 1 is full.
        tagged: True where its tag was handed out as it stands.
    """

    id: str
    resin: str
    colour: str
    swatch: str
    flow: str
    filled: bool
    items: int
    pieces: int
    shred: Interval
    full: float
    tagged: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class ForeignLine:
    """A foreign material in a bin.

    Attributes:
        material: a resin, or `label`, `adhesive`, `closure`, `residue`.
        expected: [-] share of it to be expected.
        tolerated: [-] share that does no harm.
        over: [-] chance that there is more; None where any of it is too much and only `expected` counts.
    """

    material: str
    expected: float
    tolerated: float
    over: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class BinItem:
    """An item in a bin: what it was judged to be, [g] the shred it gives, and what was observed."""

    item: ItemHead
    resin: str
    probability: float
    shred: Interval
    guessed: bool
    evidence: tuple[Evidence, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class BinView:
    """The passport of a bin.

    Attributes:
        tile: the bin at a glance.
        mass_g, capacity_g: [g] what lies in it as it is now, and what it may weigh.
        volume_l, capacity_l: [l] the room that takes, and what it holds.
        foreign: the foreign materials most likely to be too much, worst first.
        lot_g: [g] the lot that the shares are taken of.
        items: the newest first.
    """

    tile: BinTile
    mass_g: float
    capacity_g: float
    volume_l: float
    capacity_l: float
    foreign: tuple[ForeignLine, ...]
    lot_g: float
    items: tuple[BinItem, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Move:
    """Something that happened to a bin: `opened`, `placed`, `taken_back` or `tagged`, when, and with which item."""

    what: str
    when: str
    item: ItemHead | None


def bins_view(desk: Desk) -> tuple[BinTile, ...]:
    """All bins that still take something, in the order they were opened."""
    bench = desk.bench()
    return tuple(
        _tile(desk, state, bench[BinId(state.id)]) for state in desk.state.bins.values() if not state.closed
    )


def bin_view(desk: Desk, bin_id: str) -> BinView:
    """The passport of one bin.

    Raises:
        BadInput: the table has no such bin.
    """
    state = _state(desk, bin_id)
    filled = desk.bench()[BinId(bin_id)]
    limits = desk.tools.limits.get(filled.key.resin)
    capacity_g, capacity_l = _capacity(desk, state)
    return BinView(
        tile=_tile(desk, state, filled),
        mass_g=filled.content.mass_g,
        capacity_g=capacity_g,
        volume_l=filled.volume_l,
        capacity_l=capacity_l,
        foreign=foreign_lines(filled, limits) if limits else (),
        lot_g=max(filled.content.mass_g, limits.planned_mass_g if limits else 0.0),
        items=tuple(_item(desk, item) for item in reversed(state.items)),
    )


def foreign_lines(bin_: OpenBin, limits: Limits, most: int = MATERIALS_TOLD) -> tuple[ForeignLine, ...]:
    """What is foreign in a bin, the worst first: that one always, others where they matter, hazards before them."""
    lines = [_foreign(bin_, limits, m) for m in bin_.content.materials if limits.tolerance(m) < 1.0]
    ranked = sorted(lines, key=lambda n: (-(n.over or 0.0), -n.expected / n.tolerated))
    told = [n for n in ranked[:1] if n.expected > 0.0]
    told += [n for n in ranked[1:] if _matters(n)]
    return tuple(told[:most])


def _foreign(bin_: OpenBin, limits: Limits, material: str) -> ForeignLine:
    """One material against what the bin stands of it."""
    planned_g, tolerated = limits.planned_mass_g, limits.tolerance(material)
    expected = bin_.content.expected_share(material, planned_g)
    if tolerated == 0.0:
        return ForeignLine(material=material, expected=expected, tolerated=limits.hazard_share, over=None)
    over = chance_over(bin_.content, material, tolerated, planned_mass_g=planned_g)
    return ForeignLine(material=material, expected=expected, tolerated=tolerated, over=over)


def _matters(line: ForeignLine) -> bool:
    """True where a person should know of it."""
    if line.over is None:
        return line.expected >= _LEAST_HAZARD
    return line.expected >= TOLD_FROM or line.over >= TOLD_FROM


def moves_view(desk: Desk, bin_id: str) -> tuple[Move, ...]:
    """What happened to a bin, the newest first; reads the whole ledger, too slow to be asked while drawing.

    Raises:
        BadInput: the table has no such bin.
    """
    wanted = frozenset(_state(desk, bin_id).history)
    moves = []
    for event in desk.ledger.events():
        if event.id not in wanted:
            continue
        for kind, what in _MOVES:
            if isinstance(event.body, kind):
                item = getattr(event.body, "item", "")
                shown = head(desk, item) if item in desk.state.items else None
                moves.append(Move(what=what, when=clock.local_minute(wall_ms(event.hlc)), item=shown))
    return tuple(reversed(moves))


_MOVES = ((BinOpened, "opened"), (Placed, "placed"), (TakenBack, "taken_back"), (LabelPrinted, "tagged"))


def _tile(desk: Desk, state: BinState, filled: OpenBin) -> BinTile:
    """One bin at a glance."""
    known = [desk.numbers(item) for item in state.items]
    capacity_g, capacity_l = _capacity(desk, state)
    rgb = desk.handbook.colours.swatches.get(filled.key.colour)
    return BinTile(
        id=state.id,
        resin=filled.key.resin,
        colour=filled.key.colour,
        swatch="#{:02X}{:02X}{:02X}".format(*rgb) if rgb else "",
        flow=filled.key.flow,
        filled=filled.key.filled,
        items=len(known),
        pieces=sum(n.item.count for n in known),
        shred=interval(total(n.yields.shred_g for n in known)),
        full=max(filled.content.mass_g / capacity_g, filled.volume_l / capacity_l),
        tagged=is_tagged(desk, state.id),
    )


def _capacity(desk: Desk, state: BinState) -> tuple[float, float]:
    """[g] and [l] that a bin holds: as it was opened, else as the campaign says."""
    usual = desk.campaign.bins
    return state.opened.capacity_g or usual.weight, state.opened.capacity_l or usual.capacity / 1000.0


def _item(desk: Desk, item_id: str) -> BinItem:
    """One item of a bin."""
    known = desk.numbers(item_id)
    return BinItem(
        item=head(desk, item_id),
        resin=known.odds.most_likely,
        probability=known.odds.probability,
        shred=interval(known.yields.shred_g),
        guessed=known.yields.estimated,
        evidence=known.state.evidence,
    )


def _state(desk: Desk, bin_id: str) -> BinState:
    """The bin with that id.

    Raises:
        BadInput: the table has no such bin.
    """
    state = desk.state.bins.get(bin_id)
    if state is None:
        raise BadInput(where="Bin", got=bin_id, expected="the id of a bin at this table")
    return state
