"""What follows from the events: the table as it stands now, as frozen values."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import Any

from intake.errors import Finding
from intake.ledger.events import BinOpened, CampaignSet, Judged, LabelPrinted, PrepDone, Received, Source
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
    """One bin as it stands now: how it was opened, the items in it in the order they came, its labels."""

    id: str
    opened: BinOpened
    since: str
    items: tuple[str, ...] = ()
    labels: tuple[LabelPrinted, ...] = ()
    history: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class TableState:
    """Everything at one table, or at several that were merged.

    Attributes:
        campaign: the campaign that holds now; None before one was set.
        items: items by id, in the order they were received.
        bins: bins by id, in the order they were opened.
        sources: sheet row → item that came from it.
        undone: ids of the events that do not count any more.
        troubles: events that do not fit what was known when they happened, each told and passed over.
        unread: ids of events that this version cannot read; they are kept.
    """

    campaign: CampaignSet | None = None
    items: Mapping[str, ItemState] = field(default_factory=_nothing)
    bins: Mapping[str, BinState] = field(default_factory=_nothing)
    sources: Mapping[Source, str] = field(default_factory=_nothing)
    undone: frozenset[str] = frozenset()
    troubles: tuple[Finding, ...] = ()
    unread: tuple[str, ...] = ()
