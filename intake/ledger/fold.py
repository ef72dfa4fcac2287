"""State = fold(events): the same events in any order, also with repeats, give the same state."""

from collections.abc import Iterable, Mapping
from dataclasses import replace
from types import MappingProxyType
from typing import Any

from intake.ledger.draft import ItemDraft
from intake.ledger.envelope import Event
from intake.ledger.events import (
    BinMerged,
    BinOpened,
    BinRelabelled,
    BinSplit,
    CampaignSet,
    Drawn,
    EvidenceAdded,
    Floated,
    Judged,
    LabelPrinted,
    LotAdjusted,
    MeltTested,
    PartMade,
    Placed,
    PrepDone,
    Received,
    Regrouped,
    Revised,
    Shredded,
    Source,
    SplitOff,
    Stage,
    TakenBack,
    Undone,
    Unknown,
    WrittenOff,
)
from intake.ledger.fold_bins import BinLife
from intake.ledger.lazy import Items
from intake.ledger.prepared import after_prep
from intake.ledger.state import FinishedPart, Part, TableState

Undoing = tuple[tuple[str, str, int], str, str]
"""An `Undone`: where it stands among all events, its id, and the id of the event that it undoes."""


_ACTS: Mapping[type[Any], str] = MappingProxyType(
    {
        CampaignSet: "_campaign_set",
        Received: "_received",
        Revised: "_revised",
        EvidenceAdded: "_evidence_added",
        Judged: "_judged",
        PrepDone: "_prep_done",
        SplitOff: "_split_off",
        BinOpened: "_bin_opened",
        Placed: "_placed",
        TakenBack: "_taken_back",
        LabelPrinted: "_label_printed",
        BinSplit: "_bin_split",
        BinMerged: "_bin_merged",
        BinRelabelled: "_bin_relabelled",
        Regrouped: "_regrouped",
        Shredded: "_shredded",
        Floated: "_floated",
        Drawn: "_drawn",
        LotAdjusted: "_lot_adjusted",
        WrittenOff: "_written_off",
        MeltTested: "_melt_tested",
        PartMade: "_part_made",
        Undone: "_undone",
        Unknown: "_unknown",
    }
)
"""What is done for each kind, by name: a folding holds no cycle, so it is freed the moment nobody holds it."""


def fold(events: Iterable[Event]) -> TableState:
    """The state that follows from `events`, in whatever order and however often they are given."""
    unique = sorted({event.id: event for event in events}.values(), key=lambda event: event.order)
    folding = Folding(dead_of((e.order, e.id, e.body.event) for e in unique if isinstance(e.body, Undone)))
    for event in unique:
        folding.apply(event)
    return folding.state


def dead_of(undoings: Iterable[Undoing]) -> frozenset[str]:
    """Ids of the events that do not count: undone by an `Undone` that is not undone itself."""
    dead: set[str] = set()
    for _, undoing, target in sorted(undoings, reverse=True):
        if undoing not in dead:
            dead.add(target)
    return frozenset(dead)


class Folding(BinLife):
    """The state in the making. Events are applied in order; `state` is frozen when somebody asks."""

    def __init__(self, dead: frozenset[str] = frozenset()) -> None:
        super().__init__()
        self._dead = dead
        self._campaign: CampaignSet | None = None
        self._finished: list[FinishedPart] = []
        self._sources: dict[Source, str] = {}
        self._unread: list[str] = []
        self._frozen: TableState | None = None

    @property
    def state(self) -> TableState:
        """The state so far; the same object until another event is applied."""
        if self._frozen is None:
            self._settle()
            self._frozen = TableState(
                campaign=self._campaign,
                items=Items(dict(self._done)),
                bins=MappingProxyType(dict(self._bins)),
                lots=MappingProxyType(dict(self._lots)),
                finished=tuple(self._finished),
                sources=MappingProxyType(dict(self._sources)),
                undone=self._dead,
                troubles=tuple(self._troubles),
                unread=tuple(self._unread),
            )
        return self._frozen

    def apply(self, event: Event) -> None:
        """Takes the next event; one that was undone leaves no trace."""
        self._frozen = None
        if event.id not in self._dead:
            getattr(self, _ACTS[type(event.body)])(event, event.body)

    def _campaign_set(self, event: Event, body: CampaignSet) -> None:
        del event
        self._campaign = body

    def _received(self, event: Event, body: Received) -> None:
        item = self._own_name("item", event, body.item, self._items)
        if item is None:
            return
        facts = body if item == body.item else replace(body, item=item)
        self._new_item(ItemDraft(id=item, facts=facts, since=event.hlc, history=[event.id]))
        if body.source is not None:
            self._sources.setdefault(body.source, item)

    def _revised(self, event: Event, body: Revised) -> None:
        for item in self._item(event, body.item):
            facts = replace(item.facts, **body.changes)
            # two tables, each right on its own, may together tell of a mass below nothing
            if facts.gross_g is not None and facts.tare_g > facts.gross_g:
                got = f"{facts.tare_g:g} g tare of {facts.gross_g:g} g"
                self._trouble(event, got, "a tare no heavier than what the scale said")
                continue
            self._change(event, item, facts=facts)

    def _evidence_added(self, event: Event, body: EvidenceAdded) -> None:
        for item in self._item(event, body.item):
            self._change(event, item, evidence=(*item.evidence, body.evidence))

    def _judged(self, event: Event, body: Judged) -> None:
        for item in self._item(event, body.item):
            if body.stage is Stage.RESIN:
                self._change(event, item, resin_verdict=body)
            else:
                self._change(event, item, placing_verdict=body)

    def _prep_done(self, event: Event, body: PrepDone) -> None:
        for item in self._item(event, body.item):
            self._change(event, item, facts=after_prep(item.facts, body), prep=(*item.prep, body))

    def _split_off(self, event: Event, body: SplitOff) -> None:
        for parent in self._item(event, body.parent):
            for item in self._item(event, body.item):
                if item.parent is not None or item.id == parent.id:
                    self._trouble(event, f"{item.id} from {parent.id}", "a part taken off one other item")
                    continue
                part = Part(item=item.id, mass_g=body.mass_g)
                self._change(event, parent, parts=(*parent.parts, part))
                self._change(event, item, parent=parent.id)

    def _bin_opened(self, event: Event, body: BinOpened) -> None:
        self._new_bin(event, body)

    def _placed(self, event: Event, body: Placed) -> None:
        for item in self._item(event, body.item):
            for new in self._open_bin(event, body.bin):
                if self._gone(event, item):
                    continue
                if item.bin is not None:
                    self._trouble(event, f"{item.id} in {new.id}", f"it lay in {item.bin} and was moved")
                self._to_bin(event, item, new.id)

    def _taken_back(self, event: Event, body: TakenBack) -> None:
        for item in self._item(event, body.item):
            for old in self._bin(event, body.bin):
                if item.bin != old.id:
                    self._trouble(event, f"{item.id} from {old.id}", "an item that lies in that bin")
                    continue
                self._move(event, item.id, old.id, inside=False)
                self._change(event, item, bin=None)

    def _part_made(self, event: Event, body: PartMade) -> None:
        self._finished.append(FinishedPart(event=event.id, made=body))

    def _label_printed(self, event: Event, body: LabelPrinted) -> None:
        if body.lot is not None:
            for lot in self._lot(event, body.lot):
                self._of_lot(event, lot, labels=(*lot.labels, body))
            return
        for of in self._bin(event, body.bin):
            self._bins[of.id] = replace(of, labels=(*of.labels, body))
            self._happened(event, of.id)

    def _undone(self, event: Event, body: Undone) -> None:
        """Counted before the folding began: its target is in `_dead`."""

    def _unknown(self, event: Event, body: Unknown) -> None:
        del body
        self._unread.append(event.id)
