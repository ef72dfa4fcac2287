"""The desk of one collection table: its ledger, its campaign, and what the rooms say of every item."""

import threading
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Self

from intake.desk import clock
from intake.desk.bench import Bench, empty_bin, with_candidate
from intake.desk.campaign import Campaign, campaign_of
from intake.desk.facts import item_of
from intake.desk.hearing import heard
from intake.desk.taught import Taught
from intake.desk.toolbox import Toolbox
from intake.errors import BadInput
from intake.handbook import Handbook
from intake.ledger import Ledger, ledger_exists
from intake.ledger.envelope import Event
from intake.ledger.events import BinOpened, Body, CampaignSet
from intake.ledger.state import BinState, ItemState, LotState, TableState
from intake.table.bins.colour import GroupId
from intake.table.bins.ids import BinId
from intake.table.bins.key import BinKey
from intake.table.bins.lots import LotContent
from intake.table.bins.placing import OpenBin
from intake.table.compat.decision import Verdict
from intake.table.identify.odds import Posterior
from intake.table.item import Item
from intake.table.resins import ResinId
from intake.table.yields.shred import ItemYield


@dataclass(frozen=True, slots=True, kw_only=True)
class Numbers:
    """What the rooms say of one item as it stands: its odds and its yield."""

    state: ItemState
    item: Item
    odds: Posterior
    yields: ItemYield


@dataclass(frozen=True, slots=True, kw_only=True)
class _Filled:
    """A bin as it was filled last, and the items it was filled with."""

    held: tuple[Numbers, ...] = ()
    bin: OpenBin


_Known = tuple[LotState, Toolbox, LotContent]
"""A lot as it stood when its content was worked out last, and the rooms that did."""


class Desk:
    """One table, opened for work. Everything shown comes from folding its ledger; nothing else is kept."""

    def __init__(self, ledger: Ledger, handbook: Handbook, campaign: Campaign) -> None:
        self.ledger, self.handbook, self.campaign = ledger, handbook, campaign
        self._taught = Taught(handbook, campaign)
        self._numbers: dict[str, tuple[Toolbox, Numbers]] = {}
        self._filled: dict[str, _Filled] = {}
        self.lot_contents: dict[str, _Known] = {}
        self._turn = threading.RLock()

    @contextmanager
    def one_at_a_time(self) -> Iterator[None]:
        """Hold the desk while an act looks and records, so that two phones never decide on the same moment."""
        with self._turn:
            yield

    @classmethod
    def open(cls, folder: Path, handbook: Handbook, campaign: Campaign | None = None) -> Self:
        """The desk whose ledger lies in `folder`; a new ledger is made where there is none.

        Args:
            folder: the ledger's folder.
            handbook: the tables to work by.
            campaign: what is collected from now on; None: what the ledger says.

        Raises:
            BadInput: the folder holds no ledger and no campaign is given.
            LedgerBusy: another process writes there.
            DamagedLedger: the journal does not read as it was written.
        """
        if ledger_exists(folder):
            ledger = heard(Ledger.open(folder, writer=True, now_ms=clock.now_ms))
        elif campaign is None:
            raise BadInput(
                where="Ledger", got=folder.name, expected="a ledger, or a campaign to begin one with"
            )
        else:
            station = f"{campaign.letters}-{clock.new_token(3)}"
            ledger = Ledger.create(folder, station=station, now_ms=clock.now_ms)
        try:
            return cls(ledger, handbook, _settle_campaign(ledger, handbook, campaign))
        except BaseException:
            ledger.close()
            raise

    @classmethod
    def read(cls, folder: Path, handbook: Handbook) -> Self:
        """The desk whose ledger lies in `folder`, to look at only: nothing can be recorded, nobody is kept out.

        Raises:
            BadInput: the folder holds no ledger, or one in which no campaign was ever set.
            DamagedLedger: the journal does not read as it was written.
        """
        ledger = heard(Ledger.open(folder))
        return cls(ledger, handbook, _settle_campaign(ledger, handbook, None))

    @property
    def state(self) -> TableState:
        """The table as it stands now."""
        return self.ledger.state

    @property
    def tools(self) -> Toolbox:
        """The table's rooms, with what weighed shred has taught so far."""
        return self._taught.tools(self.state)

    @property
    def edition(self) -> str:
        """Edition of the handbook that decisions are taken by."""
        return self.handbook.edition

    def record(self, bodies: Sequence[Body]) -> tuple[Event, ...]:
        """Write the events of one act, all or none, and see them in the state."""
        return self.ledger.append(bodies)

    def numbers(self, item_id: str) -> Numbers:
        """Odds and yield of an item as it stands; worked out once and again when its facts change.

        Raises:
            BadInput: the table has no item with that id.
        """
        state = self.state.items.get(item_id)
        if state is None:
            raise BadInput(where="Item", got=item_id, expected="the id of an item at this table")
        tools = self.tools
        taught, known = self._numbers.get(item_id, (tools, None))
        if known is None or known.state is not state or taught is not tools:
            known = self._worked_out(state, known)
            self._numbers[item_id] = tools, known
        return known

    def remember(self, item_id: str, item: Item, odds: Posterior, yields: ItemYield) -> None:
        """Keep what was just worked out for an item that was recorded since, so that nobody works it out twice.

        It is kept only where the item stands in the ledger as it was worked out.
        """
        state = self.state.items[item_id]
        if item_of(state.facts, self.handbook, split_g=state.split_g) == item:
            known = Numbers(state=state, item=item, odds=odds, yields=yields)
            self._numbers[item_id] = self.tools, known

    def _worked_out(self, state: ItemState, known: Numbers | None) -> Numbers:
        """The numbers; the odds are kept where neither kind nor evidence changed."""
        item = item_of(state.facts, self.handbook, split_g=state.split_g)
        same = known is not None and known.state.evidence == state.evidence and known.item.kind == item.kind
        odds = known.odds if known is not None and same else self.tools.odds(item, state.evidence)
        return Numbers(state=state, item=item, odds=odds, yields=self.tools.yield_of(item))

    def bench(self) -> Bench:
        """The bins as they stand, ready for placing."""
        bench = Bench(self.campaign.letters, self.tools.limits)
        for state in self.state.bins.values():
            (bench.shut if state.closed else bench.stand)(self._bin(state))
        return bench

    def _bin(self, state: BinState) -> OpenBin:
        """One bin with its content; only what came since it was asked for last is put into it."""
        key = key_of(state)
        held = tuple(self.numbers(item) for item in state.items)
        known = self._filled.get(state.id)
        if known is None or known.bin.key != key or not _begins_with(held, known.held):
            known = _Filled(bin=empty_bin(BinId(state.id), key))
        filled = known.bin
        for one in held[len(known.held) :]:
            filled = with_candidate(filled, self.tools.candidate(key.resin, one.item, one.odds, one.yields))
        self._filled[state.id] = _Filled(held=held, bin=filled)
        return filled

    def with_verdict(self, verdict: Verdict) -> tuple[ItemState, ...]:
        """The items that stand under a verdict now, in the order they came."""
        return tuple(i for i in self.state.items.values() if i.verdict is verdict)

    def close(self) -> None:
        """Let go of the ledger."""
        self.ledger.close()

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()


def key_of(state: BinState) -> BinKey:
    """What a bin takes."""
    return key_of_opened(state.opened)


def key_of_opened(opened: BinOpened) -> BinKey:
    """What a bin takes that was opened so, which is what its lot is."""
    return BinKey(
        resin=ResinId(opened.resin), colour=GroupId(opened.colour), flow=opened.flow, filled=opened.filled
    )


def _begins_with(items: tuple[Numbers, ...], first: tuple[Numbers, ...]) -> bool:
    """True where `first` is how `items` begins, and none of them changed since."""
    return len(first) <= len(items) and all(a is b for a, b in zip(items, first, strict=False))


def _settle_campaign(ledger: Ledger, handbook: Handbook, campaign: Campaign | None) -> Campaign:
    """The campaign to work by; a new one is recorded, an unchanged one is not recorded again."""
    known = ledger.state.campaign
    if campaign is None:
        if known is None:
            raise BadInput(where="Ledger", got="no campaign", expected="a campaign file (--campaign)")
        return campaign_of(dict(known.campaign), handbook, where="campaign in the ledger")
    plain = campaign.model_dump(mode="json")
    if known is None or dict(known.campaign) != plain:
        ledger.append([CampaignSet(campaign=plain, edition=handbook.edition)])
    return campaign
