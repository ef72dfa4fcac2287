"""What there is to know of a lot: where its mass went, foreign shares, purity, room, its part in the balance."""

from dataclasses import dataclass, replace
from math import hypot

from intake.desk.desk import Desk, Numbers
from intake.desk.taught import weighed_lot
from intake.errors import BadInput
from intake.ledger.state import LotState
from intake.spread import Interval, Spread, doubtful, interval, mean_of, sd_of, total
from intake.table.bins.budget import Entry
from intake.table.bins.lots import FloatAdvice, LotContent, float_advice, lot_content
from intake.table.bins.sink_float import FloatStep, Side
from intake.table.compat.decision import Verdict
from intake.table.resins import ResinId
from intake.table.yields.balance import Balance
from intake.table.yields.bulk import shred_l
from intake.table.yields.item_mass import step_sd_g
from intake.table.yields.learn import into_shredder_g, kept_by

TWO_SIDED_95 = 1.959963984540054
"""Standard deviations: what a scale can explain is what it explains nineteen times out of twenty."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LotLine:
    """One lot as it stands; mass = floated + drawn + written off + adjusted + left.

    Attributes:
        id, bin: the lot and the bin it was.
        resin, colour, flow, filled: what it is.
        items, pieces: what was shredded into it.
        mass_g: [g] as weighed after shredding.
        left_g: [g] what is there now.
        floated_g, drawn_g, written_off_g, adjusted_g: [g] where the rest went.
        expected: [g] what the bin had been expected to give, by what is known now.
        volume_l: [L] room of what is left.
        content: its foreign shares and purity.
        verdict: of the last test melt; None where none was made.
    """

    id: str
    bin: str
    resin: str
    colour: str
    flow: str
    filled: bool
    items: int
    pieces: int
    mass_g: float
    left_g: float
    floated_g: float
    drawn_g: float
    written_off_g: float
    adjusted_g: float
    expected: Interval
    volume_l: Interval
    content: LotContent
    verdict: Verdict | None


def the_lot(desk: Desk, lot_id: str) -> LotState:
    """The lot with that id.

    Raises:
        BadInput: the table has no such lot.
    """
    lots = desk.state.lots
    lot = lots.get(lot_id) or lots.get(lot_id.strip().upper())
    if lot is None:
        known = ", ".join(lots) or "a lot that was shredded"
        raise BadInput(where="Lot", got=lot_id, expected=f"one of the lots: {known}")
    return lot


def lot_lines(desk: Desk) -> tuple[LotLine, ...]:
    """All lots, in the order they were shredded."""
    return tuple(lot_line(desk, lot) for lot in desk.state.lots.values())


def lot_line(desk: Desk, lot: LotState) -> LotLine:
    """One lot."""
    numbers = _numbers(desk, lot)
    opened = lot.opened
    shredder = weighed_lot(lot, desk.state, desk.handbook).shredder or desk.campaign.shredder
    room = shred_l(lot.left_g, desk.handbook.bulk, shredder, opened.flow, ResinId(opened.resin))
    return LotLine(
        id=lot.id,
        bin=lot.bin,
        resin=opened.resin,
        colour=opened.colour,
        flow=opened.flow,
        filled=opened.filled,
        items=len(numbers),
        pieces=sum(n.item.count for n in numbers),
        mass_g=lot.mass_g,
        left_g=lot.left_g,
        floated_g=lot.floated_g,
        drawn_g=lot.drawn_g,
        written_off_g=lot.written_off_g,
        adjusted_g=lot.adjusted_g,
        expected=interval(expected_g(desk, lot)),
        volume_l=interval(room),
        content=lot_facts(desk, lot),
        verdict=lot.verdict,
    )


def lot_facts(desk: Desk, lot: LotState) -> LotContent:
    """Foreign shares and purity of a lot after its baths; worked out once and again when something changes."""
    lot_then, tools, known = desk.lot_contents.get(lot.id, (None, None, None))
    if known is None or lot_then is not lot or tools is not desk.tools:
        known = _content(desk, lot)
        desk.lot_contents[lot.id] = lot, desk.tools, known
    return known


def _content(desk: Desk, lot: LotState) -> LotContent:
    limits = desk.tools.limits_for(ResinId(lot.opened.resin))
    return lot_content(_entries(desk, lot), lot.mass_g, _steps(lot), limits, desk.handbook.sink_float)


def lot_float_advice(desk: Desk, lot: LotState, bath_g_cm3: float) -> FloatAdvice:
    """Whether one more bath of that density pays for the lot."""
    limits, tables = desk.tools.limits_for(ResinId(lot.opened.resin)), desk.handbook.sink_float
    return float_advice(_entries(desk, lot), lot.mass_g, _steps(lot), limits, tables, bath_g_cm3)


def expected_g(desk: Desk, lot: LotState) -> Spread:
    """[g] What the lot would be expected to weigh by what the table knows now."""
    kept = kept_by(desk.tools.model, weighed_lot(lot, desk.state, desk.handbook).shredder)
    return into_shredder_g(n.yields for n in _numbers(desk, lot)) * kept


def left_g(lot: LotState) -> Spread:
    """[g] What is left of a lot, with the doubt of its weighings."""
    sd_g = step_sd_g(lot.shredded.resolution_g, tared=lot.shredded.tare_g > 0.0)
    return doubtful(lot.left_g, sd_g, f"lot {lot.id}") if lot.left_g > 0.0 else 0.0


def with_lots(desk: Desk, balance: Balance) -> Balance:
    """The balance with what was shredded and written off.

    Shred is what was weighed; process loss is what the losses table, corrected by what was learned, expects of
    it, with the net mass of what was written off before it was shredded; the rest of the difference is
    unexplained. `explainable_g` is what the steps of the scales and their tares explain, `doubt_g` what the
    doubt of losses and of unweighed masses explains as well; both nineteen times out of twenty.
    """
    state = desk.state
    accepted = {i.id for i in state.items.values() if i.verdict is Verdict.ACCEPT}
    shredded_g = loss_g = 0.0
    gap: Spread = 0.0
    scale_g = 0.0
    for lot in state.lots.values():
        numbers = [n for n in _numbers(desk, lot) if n.state.id in accepted]
        net_g, give_g = total(n.yields.net_g for n in numbers), expected_g(desk, lot)
        shredded_g += mean_of(net_g)
        loss_g += mean_of(net_g) - mean_of(give_g)
        gap = gap + net_g - give_g
        scale_g = hypot(scale_g, step_sd_g(lot.shredded.resolution_g, tared=lot.shredded.tare_g > 0.0))
        for n in numbers:
            if not n.yields.estimated:
                scale_g = hypot(scale_g, step_sd_g(n.item.resolution_g, tared=n.item.tare_g > 0.0))
    lost_g = sum(
        mean_of(desk.numbers(i).yields.net_g) for i in accepted if state.items[i].written_off is not None
    )
    if not state.lots and lost_g == 0.0:
        return balance
    return replace(
        balance,
        shred_g=sum(lot.mass_g for lot in state.lots.values()),
        process_loss_g=max(loss_g, 0.0) + lost_g,
        not_yet_shredded_g=max(balance.accepted_g - shredded_g - lost_g, 0.0),
        explainable_g=TWO_SIDED_95 * scale_g,
        doubt_g=TWO_SIDED_95 * hypot(scale_g, sd_of(gap)),
    )


def _numbers(desk: Desk, lot: LotState) -> list[Numbers]:
    return [desk.numbers(i) for i in lot.items]


def _entries(desk: Desk, lot: LotState) -> list[Entry]:
    """The rows of a lot as its bin knew them."""
    host = ResinId(lot.opened.resin)
    return [desk.tools.candidate(host, n.item, n.odds, n.yields).entry for n in _numbers(desk, lot)]


def _steps(lot: LotState) -> tuple[FloatStep, ...]:
    """The baths of a lot."""
    return tuple(
        FloatStep(
            bath_g_cm3=f.bath_g_cm3,
            out=Side.SINKERS if f.sinkers_g is not None else Side.FLOATERS,
            out_g=f.out_g,
            resolution_g=f.resolution_g,
        )
        for f in lot.floats
    )
