"""What follows from the events: the table as it stands now, as frozen values."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import Any

from intake.errors import Finding
from intake.ledger.events import (
    BinOpened,
    CampaignSet,
    Drawn,
    Floated,
    Judged,
    LabelPrinted,
    MeltTested,
    PartMade,
    PrepDone,
    Received,
    Shredded,
    Source,
)
from intake.table.compat.decision import Verdict
from intake.table.identify.evidence import Evidence


def _nothing() -> Mapping[Any, Any]:
    return MappingProxyType({})


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """Something that was taken off an item and entered on its own; `mass_g` [g] moved with it."""

    item: str
    mass_g: float


@dataclass(frozen=True, slots=True, kw_only=True)
class ItemState:
    """One item as it stands now.

    Attributes:
        id: the item's id; `a1~QT-3f9a1c` where two tables that were apart both used `a1`.
        facts: what was received, with every correction and prep step applied.
        since: hybrid time at which it was received.
        evidence: all observations, oldest first.
        resin_verdict: the last answer to "worth cleaning?".
        placing_verdict: the last answer to "which bin?".
        prep: the prep steps that were done, oldest first.
        bin: id of the bin it lies in; None where it lies in none.
        lot: id of the lot it was shredded into.
        written_off: why it is gone with its whole bin; None where it is not.
        parent: id of the item it was taken off; None where it came on its own.
        parts: what was taken off it.
        history: ids of all events about it that count, oldest first.
    """

    id: str
    facts: Received
    since: str
    evidence: tuple[Evidence, ...] = ()
    resin_verdict: Judged | None = None
    placing_verdict: Judged | None = None
    prep: tuple[PrepDone, ...] = ()
    bin: str | None = None
    lot: str | None = None
    written_off: str | None = None
    parent: str | None = None
    parts: tuple[Part, ...] = ()
    history: tuple[str, ...] = ()

    @property
    def split_g(self) -> float:
        """[g] Mass that was taken off and entered on its own."""
        return sum(part.mass_g for part in self.parts)

    @property
    def verdict(self) -> Verdict | None:
        """The verdict that holds now: the placing verdict, before that the resin verdict."""
        last = self.placing_verdict or self.resin_verdict
        return last.verdict if last else None


@dataclass(frozen=True, slots=True, kw_only=True)
class BinState:
    """One bin as it stands now: how it was opened, the items in it in the order they came, its labels.

    Attributes:
        lot: id of the lot that its content was shredded into; such a bin is closed.
        written_off: why its content is gone; such a bin is closed.
    """

    id: str
    opened: BinOpened
    since: str
    items: tuple[str, ...] = ()
    labels: tuple[LabelPrinted, ...] = ()
    lot: str | None = None
    written_off: str | None = None
    history: tuple[str, ...] = ()

    @property
    def closed(self) -> bool:
        """True where nothing more goes in."""
        return self.lot is not None or self.written_off is not None


@dataclass(frozen=True, slots=True, kw_only=True)
class LotState:
    """One lot of shred as it stands now.

    mass = floated out + drawn + written off + adjusted + left, always.

    Attributes:
        id: the lot's id.
        bin: the bin it was.
        opened: what that bin took, which is what the lot is.
        shredded: the weighing it began with.
        since: hybrid time at which it was weighed.
        items: what was shredded into it.
        left_g: [g] how much there is now.
        written_off_g: [g] how much is gone.
        adjusted_g: [g] what was missing when it was weighed again; below 0 where there was more.
        floats, draws, melt_tests: what was done with it, oldest first.
        labels: the labels that were handed out for it, oldest first.
        history: ids of all events about it that count, oldest first; the first is the shredding.
    """

    id: str
    bin: str
    opened: BinOpened
    shredded: Shredded
    since: str
    items: tuple[str, ...]
    left_g: float
    written_off_g: float = 0.0
    adjusted_g: float = 0.0
    floats: tuple[Floated, ...] = ()
    draws: tuple[Drawn, ...] = ()
    melt_tests: tuple[MeltTested, ...] = ()
    labels: tuple[LabelPrinted, ...] = ()
    history: tuple[str, ...] = ()

    @property
    def mass_g(self) -> float:
        """[g] What was weighed after shredding."""
        return self.shredded.mass_g

    @property
    def drawn_g(self) -> float:
        """[g] What went into charges."""
        return sum((draw.mass_g for draw in self.draws), 0.0)

    @property
    def floated_g(self) -> float:
        """[g] What baths took out."""
        return sum((step.out_g for step in self.floats), 0.0)

    @property
    def verdict(self) -> Verdict | None:
        """What the last test melt said; None where none was made."""
        return self.melt_tests[-1].verdict if self.melt_tests else None


@dataclass(frozen=True, slots=True, kw_only=True)
class FinishedPart:
    """A part that came out of a mould, and the id of the event that told it."""

    event: str
    made: PartMade


@dataclass(frozen=True, slots=True, kw_only=True)
class TableState:
    """Everything at one table, or at several that were merged.

    Attributes:
        campaign: the campaign that holds now; None before one was set.
        items: items by id, in the order they were received.
        bins: bins by id, in the order they were opened.
        lots: lots by id, in the order they were shredded.
        finished: the parts that were made, oldest first.
        sources: sheet row → item that came from it.
        undone: ids of the events that do not count any more.
        troubles: events that do not fit what was known when they happened, each told and passed over.
        unread: ids of events that this version cannot read; they are kept.
    """

    campaign: CampaignSet | None = None
    items: Mapping[str, ItemState] = field(default_factory=_nothing)
    bins: Mapping[str, BinState] = field(default_factory=_nothing)
    lots: Mapping[str, LotState] = field(default_factory=_nothing)
    finished: tuple[FinishedPart, ...] = ()
    sources: Mapping[Source, str] = field(default_factory=_nothing)
    undone: frozenset[str] = frozenset()
    troubles: tuple[Finding, ...] = ()
    unread: tuple[str, ...] = ()
