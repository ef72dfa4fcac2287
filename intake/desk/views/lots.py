"""Lots of shred: what is left of each, how pure it is, how hot it may get, what was done with it."""

from dataclasses import dataclass

from intake.desk.desk import Desk
from intake.desk.float_shred import float_outlook
from intake.desk.lots import left_g, lot_facts, the_lot
from intake.desk.report import drawn_g, fits
from intake.desk.toolbox import spec_of
from intake.desk.views.bins import ForeignLine
from intake.desk.views.item import ItemHead, head
from intake.ledger.state import LotState
from intake.spread import Interval, interval
from intake.table.bins.colour import GroupId
from intake.table.bins.lots import LotShare
from intake.table.compat.decision import Verdict
from intake.table.compat.windows import Window
from intake.table.resins import Reason, ResinId

FOREIGN_TOLD = 3
_LEAST_SHARE = 0.0005
"""[-] a foreign share below this, which is also surely below its limit, is not worth a line."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LotTile:
    """One lot at a glance.

    Attributes:
        id, bin: the lot and the bin it was.
        resin, colour, flow, filled: what it is.
        swatch: the colour as `#RRGGBB`; empty where none would be true.
        left: [g] what is there now.
        left_share: [-] of what was weighed after shredding.
        purity: [-] share of what melts together.
        verdict: of the last test melt; None where none was made.
    """

    id: str
    bin: str
    resin: str
    colour: str
    swatch: str
    flow: str
    filled: bool
    left: Interval
    left_share: float
    purity: Interval
    verdict: Verdict | None


@dataclass(frozen=True, slots=True, kw_only=True)
class LotView:
    """Everything there is to say about a lot.

    Attributes:
        tile: at a glance.
        mass_g: [g] as weighed after shredding.
        gone: what it went to (`floated`, `drawn`, `written_off`, `adjusted`) with [g] of it.
        foreign: foreign materials, the worst first.
        window: [degC] for the oven; None where it must not or cannot be pressed.
        oven: why there is no window; None where there is one.
        items: what was shredded into it.
        charges: ids of the charges that it may go into.
        used: True where something was done with it since it was shredded.
    """

    tile: LotTile
    mass_g: float
    gone: tuple[tuple[str, float], ...]
    foreign: tuple[ForeignLine, ...]
    window: Window | None
    oven: Reason | None
    items: tuple[ItemHead, ...]
    charges: tuple[str, ...]
    used: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class ChargeNeed:
    """A charge that a lot may go into: [g] what it still needs, and whether it has all of it."""

    id: str
    needs: Interval
    filled: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class DrawView:
    """Drawing from a lot.

    Attributes:
        lot: its id.
        left_g: [g] what is there.
        charges: that it may go into.
    """

    lot: str
    left_g: float
    charges: tuple[ChargeNeed, ...]


def lots_view(desk: Desk) -> tuple[LotTile, ...]:
    """All lots, those with something left first, each part in the order they were shredded."""
    lots = sorted(desk.state.lots.values(), key=lambda lot: lot.left_g <= 0.0)
    return tuple(_tile(desk, lot) for lot in lots)


def lot_view(desk: Desk, lot_id: str) -> LotView:
    """One lot.

    Raises:
        BadInput: the table has no such lot.
    """
    lot = the_lot(desk, lot_id)
    resin = ResinId(lot.opened.resin)
    melts = desk.handbook.melts
    window = melts.oven_window(resin)
    return LotView(
        tile=_tile(desk, lot),
        mass_g=lot.mass_g,
        gone=_gone(lot),
        foreign=tuple(_foreign(desk, resin, s) for s in lot_facts(desk, lot).shares if _told(s))[
            :FOREIGN_TOLD
        ],
        window=window,
        oven=None if window else melts.mixture_window((resin,)).reason,
        items=tuple(head(desk, item) for item in lot.items),
        charges=_charges(desk, lot),
        used=len(lot.history) > 1,
    )


def lot_advice(desk: Desk, lot_id: str) -> tuple[Reason, ...]:
    """Whether floating the lot in plain water pays, and why; nothing where its shredding was undone meanwhile."""
    if lot_id not in desk.state.lots:
        return ()
    return float_outlook(desk, lot_id).reasons


def draw_view(desk: Desk, lot_id: str) -> DrawView:
    """What can be drawn from a lot, and for which charges.

    Raises:
        BadInput: the table has no such lot.
    """
    lot = the_lot(desk, lot_id)
    needs = tuple(_need(desk, c) for c in _charges(desk, lot))
    return DrawView(lot=lot.id, left_g=lot.left_g, charges=needs)


def _need(desk: Desk, charge_id: str) -> ChargeNeed:
    """What one charge still needs."""
    needs = interval(desk.tools.plans[charge_id].charge_g - drawn_g(desk, charge_id))
    return ChargeNeed(id=charge_id, needs=needs, filled=needs.mean <= 0.0)


def _tile(desk: Desk, lot: LotState) -> LotTile:
    """One lot at a glance."""
    opened = lot.opened
    rgb = desk.handbook.colours.swatches.get(GroupId(opened.colour))
    return LotTile(
        id=lot.id, bin=lot.bin, resin=opened.resin, colour=opened.colour, flow=opened.flow,
        filled=opened.filled, swatch="#{:02X}{:02X}{:02X}".format(*rgb) if rgb else "",
        left=interval(left_g(lot)), left_share=lot.left_g / lot.mass_g,
        purity=lot_facts(desk, lot).purity, verdict=lot.verdict,
    )  # fmt: skip


def _gone(lot: LotState) -> tuple[tuple[str, float], ...]:
    """Where the rest of a lot went."""
    ways = (
        ("floated", lot.floated_g),
        ("drawn", lot.drawn_g),
        ("written_off", lot.written_off_g),
        ("adjusted", lot.adjusted_g),
    )
    return tuple((way, mass_g) for way, mass_g in ways if mass_g)


def _charges(desk: Desk, lot: LotState) -> tuple[str, ...]:
    """Ids of the charges that a lot may go into; none where nothing is left or its test melt said no."""
    if lot.left_g <= 0.0 or lot.verdict is Verdict.REFUSE:
        return ()
    return tuple(c.id for c in desk.campaign.charge if fits(lot.opened, spec_of(c.id, desk.campaign)))


def _told(share: LotShare) -> bool:
    """True where a person should know of a foreign material."""
    return share.share.mean >= _LEAST_SHARE or share.over >= _LEAST_SHARE


def _foreign(desk: Desk, host: ResinId, share: LotShare) -> ForeignLine:
    """One material as a bin's passport tells it."""
    hazard = share.tolerated == 0.0
    return ForeignLine(
        material=share.material,
        expected=share.share.mean,
        tolerated=desk.tools.limits_for(host).hazard_share if hazard else share.tolerated,
        over=None if hazard else share.over,
    )
