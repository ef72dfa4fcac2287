"""Is it worth it? The pile best first, and how far the minutes that are left today get toward each charge."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from intake.desk.campaign import Campaign, campaign_of, read_campaign
from intake.desk.cautions import COMMANDS, cautions_shown
from intake.desk.desk import Desk
from intake.desk.hearing import heard
from intake.desk.pace import paces_of
from intake.desk.prepare import MAX_MINUTES
from intake.desk.report import charge_progress
from intake.desk.sheet import Sheet, read_sheet
from intake.desk.sheet_row import Row
from intake.desk.toolbox import Toolbox
from intake.desk.worth_charge import ChargeInTime, charge_in_time
from intake.errors import BadInput, ManyFaults
from intake.handbook import Handbook
from intake.handbook.locate import resources
from intake.ledger import Ledger
from intake.ledger.events import Source
from intake.spread import Spread, mean_of, total
from intake.table.charge.heat import heat_j_g
from intake.table.compat.cautions import Caution
from intake.table.compat.decision import ResinVerdict, Verdict
from intake.table.identify.evidence import Evidence
from intake.table.identify.odds import Posterior
from intake.table.item import Item
from intake.table.prep.pace import Paces
from intake.table.prep.steps import steps_left
from intake.table.resins import ResinId
from intake.table.yields.footprint import Footprint, footprint
from intake.table.yields.shred import ItemYield
from intake.table.yields.worth import Worth, best_first, item_worth

_NO_WORK_HELPS = frozenset({"kind_old_pigments"})
"""Reasons to hold that neither a test nor cleaning settles."""


@dataclass(frozen=True, slots=True, kw_only=True)
class WorthLine:
    """One row of the pile.

    Attributes:
        worth: what it gives and costs.
        kind: plain name of its kind.
        count: pieces.
        verdict: the resin verdict as it would be now, with its reasons.
    """

    worth: Worth
    kind: str
    count: int
    verdict: ResinVerdict


@dataclass(frozen=True, slots=True, kw_only=True)
class WorthReport:
    """The pile best first, what is not worth a minute, how far the time gets, the footprint and the cautions.

    Attributes:
        ordered: best first.
        left_out: rows that give nothing: refused ones.
        charges: in the order of the campaign.
        minutes: [min] there are today; None where nobody said.
        logged_rows: [-] how many logged times the table's pace rests on.
        footprints: of one kilogram of shred, by host.
        cautions: of cleaning, which is what comes next.
    """

    ordered: tuple[WorthLine, ...]
    left_out: tuple[WorthLine, ...]
    charges: tuple[ChargeInTime, ...]
    minutes: float | None
    logged_rows: float
    footprints: tuple[Footprint, ...]
    cautions: tuple[Caution, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Row:
    """One row of a pile before it is judged."""

    key: str
    item: Item
    evidence: tuple[Evidence, ...]
    odds: Posterior
    yields: ItemYield


def worth_of_sheet(
    sheet_path: Path, handbook: Handbook, *, campaign_path: Path | None = None, ledger: Path | None = None,
    minutes: float | None = None,
) -> WorthReport:  # fmt: skip
    """The rows of a sheet that nobody touched yet, best first; nothing is recorded.

    Args:
        sheet_path: the intake sheet.
        handbook: the tables.
        campaign_path: the campaign; None: the ledger's own, without one the starter campaign.
        ledger: a ledger whose logged minutes and bins count; None: handbook times, empty bins.
        minutes: [min] left today; None where the question is not asked.

    Raises:
        BadInput: a file cannot be used, or the minutes cannot be.
        ManyFaults: rows that cannot be used.
    """
    _check_minutes(minutes)
    given = read_campaign(campaign_path, handbook) if campaign_path else None
    if ledger is not None:
        with _reading(ledger, handbook, given) as desk:
            sheet = _good_sheet(sheet_path, handbook, desk.campaign)
            known = desk.state.sources
            rows = [r for r in sheet.rows if Source(sheet=sheet.digest, row=r.number) not in known]
            return _report(desk.tools, _sheet_rows(rows, desk.tools), _paces(desk), _have(desk), minutes)
    campaign = given or read_campaign(resources() / "demo" / "starter-campaign.toml", handbook)
    tools = Toolbox(handbook, campaign)
    sheet = _good_sheet(sheet_path, handbook, campaign)
    return _report(tools, _sheet_rows(sheet.rows, tools), paces_of(handbook), {}, minutes)


def worth_of_pile(desk: Desk, *, minutes: float | None = None) -> WorthReport:
    """The items in hand that lie in no bin yet, best first, with the table's own pace.

    Raises:
        BadInput: minutes that cannot be.
    """
    _check_minutes(minutes)
    waiting = [
        desk.numbers(s.id)
        for s in desk.state.items.values()
        if s.bin is None and s.verdict is not Verdict.REFUSE
    ]
    rows = [
        _Row(key=n.state.id, item=n.item, evidence=n.state.evidence, odds=n.odds, yields=n.yields)
        for n in waiting
    ]
    return _report(desk.tools, rows, _paces(desk), _have(desk), minutes)


@contextmanager
def _reading(folder: Path, handbook: Handbook, campaign: Campaign | None) -> Iterator[Desk]:
    """The desk of a ledger that is only read: nothing is recorded, and nobody who writes there is in the way."""
    ledger = heard(Ledger.open(folder))
    try:
        known = ledger.state.campaign
        if campaign is None and known is None:
            raise BadInput(where="Ledger", got="no campaign", expected="a campaign file (--campaign)")
        own = campaign or campaign_of(
            dict(known.campaign if known else {}), handbook, where="campaign in the ledger"
        )
        yield Desk(ledger, handbook, own)
    finally:
        ledger.close()


def _check_minutes(minutes: float | None) -> None:
    if minutes is not None and not 0.0 <= minutes <= MAX_MINUTES:
        raise BadInput(where="Minutes", got=minutes, expected="minutes from 0 to 1440, such as 90")


def _good_sheet(path: Path, handbook: Handbook, campaign: Campaign) -> Sheet:
    sheet = read_sheet(path, handbook, scale_g=campaign.scale)
    if sheet.bad:
        raise ManyFaults(f for b in sheet.bad for f in b.findings)
    return sheet


def _sheet_rows(rows: Iterable[Row], tools: Toolbox) -> Iterator[_Row]:
    for row in rows:
        odds = tools.odds(row.item, row.evidence)
        yields = tools.yield_of(row.item)
        yield _Row(key=row.id, item=row.item, evidence=row.evidence, odds=odds, yields=yields)


def _paces(desk: Desk) -> Paces:
    return paces_of(desk.handbook, desk.ledger.events(), desk.state)


def _have(desk: Desk) -> dict[str, Spread]:
    """[g] Clean shred there is for each charge."""
    return {charge: done.shred_g for charge, done in charge_progress(desk).items()}


def _report(
    tools: Toolbox, rows: Iterable[_Row], paces: Paces, have: Mapping[str, Spread], minutes: float | None
) -> WorthReport:
    lines = {row.key: _line(row, tools, paces) for row in rows}
    ordered = tuple(lines[w.key] for w in best_first(line.worth for line in lines.values()))
    taken = {line.worth.key for line in ordered}
    charges = tuple(
        charge_in_time(plan, _for_host(ordered, plan.spec.resin), have.get(charge, 0.0), minutes)
        for charge, plan in tools.plans.items()
    )
    return WorthReport(
        ordered=ordered,
        left_out=tuple(line for key, line in lines.items() if key not in taken),
        charges=charges,
        minutes=minutes,
        logged_rows=sum(p.rows for p in paces.by_task.values()),
        footprints=tuple(_footprint(tools, host, ordered) for host in tools.campaign.hosts),
        cautions=cautions_shown(tools.handbook, COMMANDS["worth"], tools.campaign.hosts),
    )


def _line(row: _Row, tools: Toolbox, paces: Paces) -> WorthLine:
    """One row with its verdict and its worth."""
    verdict = tools.worth_cleaning(row.item, row.odds)
    steps = steps_left(row.item, row.odds.most_likely, tools.handbook.prep)
    worth = item_worth(
        row.key, row.item, row.yields, steps, paces,
        chance=_chance(row.odds, verdict, tools), test_minutes=_test_minutes(row, verdict, tools),
    )  # fmt: skip
    return WorthLine(worth=worth, kind=row.item.kind.names[0], count=row.item.count, verdict=verdict)


def _chance(odds: Posterior, verdict: ResinVerdict, tools: Toolbox) -> float:
    """[-] Chance that the item melts with a charge; 0 for a refused one, and while nobody knows its age.

    Filled plastic goes to bins that no charge draws from, so its share does not count.
    """
    if verdict.verdict is Verdict.REFUSE or any(r.code in _NO_WORK_HELPS for r in verdict.reasons):
        return 0.0
    hosts = [verdict.host] if verdict.host else tools.campaign.hosts
    partners = {r for host in hosts for r in tools.handbook.matrix.partners(ResinId(host))}
    melts = sum(p for r, p in odds.probabilities.items() if r in partners)
    return min(1.0, melts) * (1.0 - odds.filled)


def _test_minutes(row: _Row, verdict: ResinVerdict, tools: Toolbox) -> float:
    """[min] Of the best next test, which a held item needs before anything else."""
    if verdict.verdict is not Verdict.HOLD:
        return 0.0
    tests = tools.next_tests(row.item.kind, row.evidence)
    return tests[0].minutes if tests else 0.0


def _for_host(ordered: Iterable[WorthLine], host: ResinId) -> list[Worth]:
    """The rows that may melt with a host, in their order; a row that could be anything counts for each."""
    return [line.worth for line in ordered if line.verdict.host in (host, None)]


def _footprint(tools: Toolbox, host: ResinId, ordered: Sequence[WorthLine]) -> Footprint:
    """Of one kilogram of shred of a host, with the minutes that this pile takes for it."""
    book = tools.handbook
    mine = _for_host(ordered, host)
    grams = total(w.expected_g for w in mine)
    minutes_kg = total(w.minutes for w in mine) / grams * 1000.0 if mean_of(grams) > 0.0 else None
    row = book.heat.rows[host]
    return footprint(
        book.footprint, host, shredder=tools.campaign.shredder,
        melt_j_g=heat_j_g(row, row.melt_c.typical), oven_kw=book.heat.oven_kw, minutes_kg=minutes_kg,
    )  # fmt: skip
