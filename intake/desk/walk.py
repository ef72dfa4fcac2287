"""An item's way along the table as events: judged, and after prep placed. The sheet and the app both use it."""

from collections.abc import Sequence
from dataclasses import dataclass

from intake.desk.bench import Bench
from intake.desk.toolbox import Toolbox
from intake.ledger.events import BinOpened, Body, Judged, Placed, Stage
from intake.table.bins.key import BinKey
from intake.table.bins.placing import Placing
from intake.table.compat.decision import ResinVerdict, Verdict
from intake.table.identify.odds import Posterior
from intake.table.item import Item
from intake.table.yields.shred import ItemYield


@dataclass(frozen=True, slots=True, kw_only=True)
class Walked:
    """What became of an item: the events to record, and the verdicts that they say."""

    bodies: tuple[Body, ...]
    resin: ResinVerdict
    placing: Placing | None = None

    @property
    def verdict(self) -> Verdict:
        """The verdict that holds at the end."""
        return self.placing.verdict if self.placing else self.resin.verdict


def judge_item(
    item_id: str, item: Item, odds: Posterior, tools: Toolbox, *, by: str | None = None
) -> tuple[ResinVerdict, Judged]:
    """The resin verdict and the event that says it."""
    verdict = tools.worth_cleaning(item, odds)
    event = Judged(
        item=item_id,
        stage=Stage.RESIN,
        verdict=verdict.verdict,
        resin=verdict.resin,
        probability=verdict.probability,
        host=verdict.host,
        reasons=verdict.reasons,
        cautions=verdict.cautions,
        edition=tools.handbook.edition,
        by=by,
    )
    return verdict, event


def place_item(
    item_id: str,
    item: Item,
    odds: Posterior,
    yields: ItemYield,
    judged: Judged,
    bench: Bench,
    tools: Toolbox,
    *,
    by: str | None = None,
) -> tuple[Placing, tuple[Body, ...]]:
    """The placing verdict of an accepted item, and the events that say and do it; the bench follows."""
    if judged.host is None:
        raise ValueError("only an item with a host can be placed")
    candidate = tools.candidate(tools.handbook.resins.get(judged.host).id, item, odds, yields)
    placing = bench.choose(candidate)
    event = Judged(
        item=item_id,
        stage=Stage.PLACING,
        verdict=placing.verdict,
        resin=judged.resin,
        probability=judged.probability,
        host=judged.host,
        reasons=placing.reasons,
        edition=tools.handbook.edition,
        by=by,
    )
    if placing.verdict is not Verdict.ACCEPT:
        return placing, (event,)
    bodies: list[Body] = [event]
    bin_id = placing.bin_id
    if bin_id is None:
        bin_id = bench.next_id()
        bench.open(bin_id, placing.key)
        bodies.append(opened_bin(bin_id, placing.key, tools))
    bench.put(bin_id, candidate)
    bodies.append(Placed(item=item_id, bin=bin_id))
    return placing, tuple(bodies)


def walk_item(
    item_id: str,
    item: Item,
    odds: Posterior,
    yields: ItemYield,
    first: Sequence[Body],
    bench: Bench,
    tools: Toolbox,
) -> Walked:
    """An item that arrives with everything known: judged, and placed where it is accepted.

    Args:
        item_id: its id.
        item: its facts.
        odds: what it is made of.
        yields: what it gives.
        first: the events of its arrival, recorded before the verdicts.
        bench: the open bins; follows what is placed.
        tools: the rooms.
    """
    resin, judged = judge_item(item_id, item, odds, tools)
    if resin.verdict is not Verdict.ACCEPT:
        return Walked(bodies=(*first, judged), resin=resin)
    placing, bodies = place_item(item_id, item, odds, yields, judged, bench, tools)
    return Walked(bodies=(*first, judged, *bodies), resin=resin, placing=placing)


def opened_bin(bin_id: str, key: BinKey, tools: Toolbox) -> BinOpened:
    """The event that opens a bin of that key, as large as the campaign says."""
    limits = tools.limits_for(key.resin)
    return BinOpened(
        bin=bin_id,
        resin=key.resin,
        colour=key.colour,
        flow=key.flow,
        filled=key.filled,
        capacity_l=limits.capacity_l,
        capacity_g=limits.capacity_g,
    )
