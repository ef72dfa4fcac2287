"""What the first screen shows: how far each charge is, what would fill it, and what waits."""

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from intake.desk.desk import Desk
from intake.desk.report import charge_progress, done_resin
from intake.desk.views.item import ItemHead, head, unfinished
from intake.spread import Interval, interval, mean_of
from intake.table.charge.progress import WANTED, more_needed
from intake.table.compat.decision import Verdict
from intake.table.kinds import Kind, KindId
from intake.table.resins import ResinId

MOST_IN_HAND = 6
KINDS_TOLD = 2
_MOSTLY = 0.5
"""[-] a kind stands for a resin from this share on."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ChargeView:
    """How far one charge is.

    Attributes:
        id: of the charge in the campaign.
        resin: its host.
        shred: [g] accepted for it so far.
        charge: [g] what fills the mould.
        missing: [g] what is still missing, not below 0.
        probability_met: [-] that `shred` reaches `charge`.
    """

    id: str
    resin: str
    shred: Interval
    charge: Interval
    missing: Interval
    probability_met: float


@dataclass(frozen=True, slots=True, kw_only=True)
class HomeView:
    """The campaign at a glance; `in_hand` are the newest of the `unfinished` items."""

    campaign: str
    charges: tuple[ChargeView, ...]
    accepted: int
    held: int
    refused: int
    unfinished: int
    in_hand: tuple[ItemHead, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Pieces:
    """So many more of one kind; `name` is what a person calls one of them."""

    kind: KindId
    name: str
    count: int


@dataclass(frozen=True, slots=True, kw_only=True)
class MoreView:
    """What would make one charge safe.

    Attributes:
        wanted: [-] the chance that counts as safe.
        pieces: how many of a kind, of that kind alone; one or the other of them is enough. Empty also where
            no number of them would make it sure.
        enough: True where nothing more is needed.
    """

    wanted: float
    pieces: tuple[Pieces, ...]
    enough: bool


def home_view(desk: Desk) -> HomeView:
    """The campaign as it stands."""
    verdicts = Counter(i.verdict for i in desk.state.items.values())
    waiting = unfinished(desk)
    return HomeView(
        campaign=desk.campaign.name,
        charges=tuple(_charges(desk)),
        accepted=verdicts[Verdict.ACCEPT],
        held=verdicts[Verdict.HOLD],
        refused=verdicts[Verdict.REFUSE],
        unfinished=len(waiting),
        in_hand=tuple(head(desk, i.id) for i in waiting[:MOST_IN_HAND]),
    )


def more_view(desk: Desk) -> Mapping[str, MoreView]:
    """What would fill each charge, by its id; too slow to be asked while drawing."""
    return MappingProxyType({charge_id: _more(desk, charge_id) for charge_id in charge_progress(desk)})


def _charges(desk: Desk) -> list[ChargeView]:
    """Every charge, in the order of the campaign."""
    return [
        ChargeView(
            id=charge_id,
            resin=done_resin(desk, charge_id),
            shred=interval(done.shred_g),
            charge=interval(done.charge_g),
            missing=done.missing_g,
            probability_met=done.probability_met,
        )
        for charge_id, done in charge_progress(desk).items()
    ]


def _more(desk: Desk, charge_id: str) -> MoreView:
    """What one charge wants."""
    done = charge_progress(desk)[charge_id]
    if done.probability_met >= WANTED:
        return MoreView(wanted=WANTED, pieces=(), enough=True)
    kinds = _likely_kinds(desk, ResinId(done_resin(desk, charge_id)))[:KINDS_TOLD]
    found = more_needed(desk.tools.model, desk.tools.plans[charge_id], done.shred_g, kinds)
    names = {kind.id: kind.names[0] for kind in kinds}
    pieces = tuple(Pieces(kind=k, name=names[k], count=count) for k, count in found.items() if count)
    return MoreView(wanted=WANTED, pieces=pieces, enough=False)


def _likely_kinds(desk: Desk, host: ResinId) -> list[Kind]:
    """Kinds that are mostly of the host: first those that gave this table most, then what most bags hold."""
    given: Counter[KindId] = Counter()
    for state in desk.state.bins.values():
        if state.opened.resin == host:
            for item in state.items:
                known = desk.numbers(item)
                given[known.item.kind.id] += round(mean_of(known.yields.net_g))
    table = desk.handbook.kinds
    offered = dict.fromkeys((*(k for k, _ in given.most_common()), *table.common))
    kinds = [table.rows[k] for k in offered]
    return [k for k in kinds if k.prior.get(host, 0.0) >= _MOSTLY]
