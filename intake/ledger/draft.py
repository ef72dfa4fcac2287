"""An item in the making: while events are folded it changes in place, and is frozen when somebody asks."""

from dataclasses import dataclass, field

from intake.ledger.events import Judged, PrepDone, Received
from intake.ledger.state import ItemState, Part
from intake.table.identify.evidence import Evidence


@dataclass(slots=True, kw_only=True)
class ItemDraft:
    """The fields of `ItemState`, which says what they mean."""

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
    history: list[str] = field(default_factory=list)

    @classmethod
    def of(cls, state: ItemState) -> "ItemDraft":
        """A draft to go on from `state`."""
        return cls(
            id=state.id,
            facts=state.facts,
            since=state.since,
            evidence=state.evidence,
            resin_verdict=state.resin_verdict,
            placing_verdict=state.placing_verdict,
            prep=state.prep,
            bin=state.bin,
            lot=state.lot,
            written_off=state.written_off,
            parent=state.parent,
            parts=state.parts,
            history=list(state.history),
        )

    def frozen(self) -> ItemState:
        """The item as it stands now."""
        return ItemState(
            id=self.id,
            facts=self.facts,
            since=self.since,
            evidence=self.evidence,
            resin_verdict=self.resin_verdict,
            placing_verdict=self.placing_verdict,
            prep=self.prep,
            bin=self.bin,
            lot=self.lot,
            written_off=self.written_off,
            parent=self.parent,
            parts=self.parts,
            history=tuple(self.history),
        )
