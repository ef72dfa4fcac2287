"""Compose a charge: which lots on the shelf, and how much of each; planning ahead, which bins as well."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from math import exp, log
from pathlib import Path

from intake.desk.campaign import Campaign
from intake.desk.desk import Desk
from intake.desk.lots import lot_facts
from intake.desk.report import drawn_g, fits
from intake.errors import BadInput
from intake.handbook import Handbook
from intake.ledger.events import BinOpened
from intake.solving import HighsSolver
from intake.spread import Interval, interval, total
from intake.table.bins.colour import GroupId, Lab, lab_of
from intake.table.bins.ids import BinId
from intake.table.charge.compose import Composition, compose
from intake.table.charge.misfit import Misfit
from intake.table.charge.stock import Stock, Wish
from intake.table.charge.target import ChargeSpec
from intake.table.compat.decision import Verdict
from intake.table.resins import Figure, ResinId


@dataclass(frozen=True, slots=True, kw_only=True)
class ComposeAnswer:
    """A mix for a charge, or why there is none.

    Attributes:
        charge: id of the charge.
        resin: its host.
        need_g: [g] what the charge needs, less what was drawn for it.
        stocks: everything that was there to take from, by id.
        colours: colour group of each, by id.
        wish: what was asked of the mix.
        ahead: whether bins that are not shredded yet were counted.
        result: the mix, or what stands against every mix.
        flow_range: [g/10 min] of the mix with every grade at the low and at the high end of its row; None where
            a flow is unknown or there is no mix.
    """

    charge: str
    resin: str
    need_g: Interval
    stocks: Mapping[str, Stock]
    colours: Mapping[str, str]
    wish: Wish
    ahead: bool
    result: Composition | Misfit
    flow_range: tuple[float, float] | None


def reading_desk(folder: Path, handbook: Handbook, campaign: Campaign | None) -> Desk:
    """The desk of a ledger, to look at only, with the ledger's campaign or another; nothing is recorded.

    Raises:
        BadInput: the folder holds no ledger.
        DamagedLedger: the journal does not read as it was written.
    """
    desk = Desk.read(folder, handbook)
    return desk if campaign is None else Desk(desk.ledger, handbook, campaign)


def compose_charge(
    desk: Desk, spec: ChargeSpec, *, ahead: bool = False, mass_g: float | None = None,
    flow: tuple[float | None, float | None] | None = None,
) -> ComposeAnswer:  # fmt: skip
    """The best mix for a charge from what stands there now; nothing is recorded.

    Args:
        desk: the table.
        spec: the charge.
        ahead: True to count bins that are not shredded yet, each with the 5th percentile of what it will give.
        mass_g: [g] how much to mix; None: what the charge needs on average, less what was drawn for it.
        flow: [g/10 min] window of the mix, an open end as None; None: the campaign's.

    Raises:
        BadInput: nothing is needed any more, the window is empty, or a flow that it needs is unknown.
    """
    need_g = interval(desk.tools.plans[spec.id].charge_g - drawn_g(desk, spec.id))
    wanted_g = need_g.mean if mass_g is None else mass_g
    if wanted_g <= 0.0:
        expected = "a charge that still needs something, or a mass to mix"
        raise BadInput(where=f"Charge {spec.id}", got="all of it was drawn already", expected=expected)
    found = [*_lots(desk, spec), *(_bins(desk, spec) if ahead else ())]
    own = next(c.flow for c in desk.campaign.charge if c.id == spec.id)
    low, high = flow or own or (None, None)
    blend = desk.handbook.blend
    wish = Wish(
        mass_g=wanted_g, limits=_limits(desk, spec.resin, [s for s, _ in found]), flow_low=low, flow_high=high,
        opening_de00=blend.opening_de00.typical, unknown_de00=blend.unknown_de00.typical,
    )  # fmt: skip
    result = compose([s for s, _ in found], wish, HighsSolver())
    opened = {s.id: o for s, o in found}
    return ComposeAnswer(
        charge=spec.id, resin=spec.resin, need_g=need_g, stocks={s.id: s for s, _ in found},
        colours={i: o.colour for i, o in opened.items()}, wish=wish, ahead=ahead, result=result,
        flow_range=_flow_range(desk, opened, result) if isinstance(result, Composition) else None,
    )  # fmt: skip


def _lots(desk: Desk, spec: ChargeSpec) -> Iterator[tuple[Stock, BinOpened]]:
    """The lots that may go into the charge: weighed, and not refused by their test melt."""
    for lot in desk.state.lots.values():
        if fits(lot.opened, spec) and lot.verdict is not Verdict.REFUSE and lot.left_g > 0.0:
            shares = {s.material: s.share.mean for s in lot_facts(desk, lot).shares}
            yield _stock(desk, lot.id, lot.left_g, lot.opened, shares, weighed=True), lot.opened


def _bins(desk: Desk, spec: ChargeSpec) -> Iterator[tuple[Stock, BinOpened]]:
    """The bins that are not shredded yet, each with what it gives nineteen times out of twenty."""
    bench = desk.bench()
    for state in desk.state.bins.values():
        if state.closed or not state.items or not fits(state.opened, spec):
            continue
        content = bench[BinId(state.id)].content
        shares = {m: content.expected_share(m) for m in content.materials if m != spec.resin}
        sure_g = interval(total(desk.numbers(i).yields.shred_g for i in state.items)).low
        yield _stock(desk, state.id, sure_g, state.opened, shares, weighed=False), state.opened


def _stock(
    desk: Desk, stock_id: str, mass_g: float, opened: BinOpened, shares: Mapping[str, float], *, weighed: bool
) -> Stock:
    rate = _rate(desk, opened)
    return Stock(
        id=stock_id, mass_g=mass_g, flow_g_10min=rate.typical if rate else None,
        colour=_lab(desk, opened.colour), foreign=shares, weighed=weighed,
    )  # fmt: skip


def _rate(desk: Desk, opened: BinOpened) -> Figure | None:
    """Melt flow rate of what such a bin takes; None where the handbook has none."""
    return desk.handbook.blend.rates.get((ResinId(opened.resin), opened.flow))


def _lab(desk: Desk, group: str) -> Lab | None:
    """The colour of a group's swatch; None for a group of many colours."""
    swatch = desk.handbook.colours.swatches.get(GroupId(group))
    return lab_of(swatch) if swatch is not None else None


def _limits(desk: Desk, resin: ResinId, stocks: list[Stock]) -> dict[str, float]:
    """Highest share of each foreign material in these stocks, as a bin of the host allows it."""
    limits = desk.tools.limits_for(resin)
    found = {}
    for material in sorted({m for s in stocks for m in s.foreign}):
        tolerated = limits.tolerance(material) or limits.hazard_share
        if tolerated < 1.0:
            found[material] = tolerated
    return found


def _flow_range(desk: Desk, opened: Mapping[str, BinOpened], mix: Composition) -> tuple[float, float] | None:
    """[g/10 min] The blend with every grade at the low, and at the high end of its row."""
    rates = [(g, _rate(desk, opened[i])) for i, g in mix.taken_g.items()]
    known = [(g, rate) for g, rate in rates if rate is not None]
    if len(known) < len(rates):
        return None
    whole_g = sum(g for g, _ in known)
    low = exp(sum(g * log(rate.low) for g, rate in known) / whole_g)
    return low, exp(sum(g * log(rate.high) for g, rate in known) / whole_g)
