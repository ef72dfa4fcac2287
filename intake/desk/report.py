"""What a day at the table comes to: items, bins, charges and the mass balance, all from the ledger."""

from collections.abc import Mapping
from dataclasses import dataclass

from intake.desk.cautions import COMMANDS, cautions_shown
from intake.desk.desk import Desk
from intake.desk.lots import LotLine, left_g, lot_lines, with_lots
from intake.desk.toolbox import spec_of
from intake.ledger.events import BinOpened
from intake.ledger.state import ItemState
from intake.spread import Interval, Spread, interval, mean_of, total
from intake.table.charge.progress import Progress, progress
from intake.table.charge.target import ChargeSpec
from intake.table.compat.cautions import Caution
from intake.table.compat.decision import Verdict
from intake.table.yields.balance import Balance, balance_of


@dataclass(frozen=True, slots=True, kw_only=True)
class ChargeLine:
    """One charge: what it needs, what the bins give toward it, and the chance that they reach it."""

    id: str
    resin: str
    charge_g: Interval
    shred_g: Interval
    probability_met: float


@dataclass(frozen=True, slots=True, kw_only=True)
class BinLine:
    """One bin: what it takes, how many pieces lie in it and the shred they will give."""

    id: str
    resin: str
    colour: str
    flow: str
    filled: bool
    items: int
    pieces: int
    shred_g: Interval


@dataclass(frozen=True, slots=True, kw_only=True)
class Report:
    """The whole table, with the cautions of keeping and using what lies in its bins.

    `low` and `high` are the 5th and 95th percentile and do not add.
    """

    campaign: str
    edition: str
    rows: int
    pieces: int
    verdicts: Mapping[Verdict, int]
    balance: Balance
    shred_g: Interval
    charges: tuple[ChargeLine, ...]
    bins: tuple[BinLine, ...]
    lots: tuple[LotLine, ...]
    cautions: tuple[Caution, ...]


def report(desk: Desk) -> Report:
    """The report of everything that has a verdict; an item still in hand counts when it is judged."""
    judged = [i for i in desk.state.items.values() if i.verdict is not None]
    pairs = [(i.verdict, desk.numbers(i.id).yields) for i in judged]
    shred = total(y.shred_g for v, y in pairs if v is Verdict.ACCEPT)
    return Report(
        campaign=desk.campaign.name,
        edition=desk.edition,
        rows=len(judged),
        pieces=sum(i.facts.count for i in judged),
        verdicts={v: sum(1 for i in judged if i.verdict is v) for v in Verdict},
        balance=with_lots(desk, balance_of((v, y) for v, y in pairs if v is not None)),
        shred_g=interval(shred),
        charges=tuple(_charge_lines(desk)),
        bins=tuple(_bin_line(desk, b.id) for b in desk.state.bins.values() if not b.closed),
        lots=lot_lines(desk),
        cautions=cautions_shown(desk.handbook, COMMANDS["sort"], desk.campaign.hosts),
    )


def charge_progress(desk: Desk) -> dict[str, Progress]:
    """Progress of each charge by id.

    Charges of one resin are filled in the order of the campaign file: what an earlier one needs is not counted
    toward a later one. A charge counts only bins and lots of its resin, of its colours where it names any,
    unfilled: of a lot what is left and what was drawn for this charge, unless its last test melt refused it;
    of a bin not yet shredded what it is expected to give.
    """
    done: dict[str, Progress] = {}
    for charge in desk.campaign.charge:
        spec = spec_of(charge.id, desk.campaign)
        pool = _lots_for(desk, spec) + _bins_for(desk, spec)
        taken = [_still_needs(desk, c) for c in done if done_resin(desk, c) == spec.resin]
        shred: Spread = (pool - total(taken) if taken else pool) + drawn_g(desk, charge.id)
        done[charge.id] = progress(desk.tools.plans[charge.id], shred)
    return done


def drawn_g(desk: Desk, charge_id: str) -> float:
    """[g] What was drawn from lots for a charge."""
    draws = (d for lot in desk.state.lots.values() for d in lot.draws)
    return sum(d.mass_g for d in draws if d.charge == charge_id)


def _still_needs(desk: Desk, charge_id: str) -> Spread:
    """[g] What a charge still takes from the pool; nothing once it was drawn in full."""
    needs = desk.tools.plans[charge_id].charge_g - drawn_g(desk, charge_id)
    return needs if mean_of(needs) > 0.0 else 0.0


def _lots_for(desk: Desk, spec: ChargeSpec) -> Spread:
    """[g] What is left of the lots that may go into a charge."""
    return total(
        left_g(lot)
        for lot in desk.state.lots.values()
        if fits(lot.opened, spec) and lot.verdict is not Verdict.REFUSE
    )


def _bins_for(desk: Desk, spec: ChargeSpec) -> Spread:
    """[g] Shred that the bins not yet shredded will give toward a charge."""
    return total(
        desk.numbers(item).yields.shred_g
        for b in desk.state.bins.values()
        if fits(b.opened, spec)
        for item in b.items
    )


def fits(opened: BinOpened, spec: ChargeSpec) -> bool:
    """True where what such a bin takes may go into the charge."""
    colour = not spec.colours or opened.colour in spec.colours
    return opened.resin == spec.resin and not opened.filled and colour


def done_resin(desk: Desk, charge_id: str) -> str:
    """The host resin of a charge."""
    return spec_of(charge_id, desk.campaign).resin


def _charge_lines(desk: Desk) -> list[ChargeLine]:
    return [
        ChargeLine(
            id=charge_id,
            resin=done_resin(desk, charge_id),
            charge_g=interval(p.charge_g),
            shred_g=interval(p.shred_g),
            probability_met=p.probability_met,
        )
        for charge_id, p in charge_progress(desk).items()
    ]


def _bin_line(desk: Desk, bin_id: str) -> BinLine:
    state = desk.state.bins[bin_id]
    numbers = [desk.numbers(i) for i in state.items]
    return BinLine(
        id=bin_id,
        resin=state.opened.resin,
        colour=state.opened.colour,
        flow=state.opened.flow,
        filled=state.opened.filled,
        items=len(numbers),
        pieces=sum(n.item.count for n in numbers),
        shred_g=interval(total(n.yields.shred_g for n in numbers)),
    )


def last_decision(item: ItemState) -> tuple[str, float]:
    """The resin an item was judged to be, and the probability that was told."""
    judged = item.placing_verdict or item.resin_verdict
    return (judged.resin, judged.probability) if judged else ("", 0.0)
