"""What can happen at a collection table: one frozen type per fact.

A new kind is one class here and its name in `KINDS`; the codec reads the fields from the class. Fields may be
added with a default, never renamed or taken away: ledgers written years ago are read for ever.
"""

from collections.abc import Mapping
from copy import deepcopy
from dataclasses import dataclass, field
from enum import StrEnum
from types import MappingProxyType
from typing import Any, TypeAlias

from intake.errors import BadInput
from intake.ledger.bin_life import (
    BinMerged,
    BinRelabelled,
    BinSplit,
    Drawn,
    Floated,
    LotAdjusted,
    MeltTested,
    Move,
    Regrouped,
    Shredded,
    WrittenOff,
)
from intake.ledger.part_made import PartMade
from intake.ledger.received import Received, Revised, Source, not_negative
from intake.table.compat.decision import Verdict
from intake.table.identify.evidence import Evidence
from intake.table.kinds import Flow
from intake.table.prep.steps import Covers
from intake.table.resins import Reason

__all__ = [
    "KINDS",
    "SCHEMA",
    "BinMerged",
    "BinOpened",
    "BinRelabelled",
    "BinSplit",
    "Body",
    "CampaignSet",
    "Drawn",
    "EvidenceAdded",
    "Floated",
    "Judged",
    "Known",
    "LabelPrinted",
    "LotAdjusted",
    "MeltTested",
    "Move",
    "PartMade",
    "Placed",
    "PrepDone",
    "Received",
    "Regrouped",
    "Revised",
    "Shredded",
    "Source",
    "SplitOff",
    "Stage",
    "TakenBack",
    "Undone",
    "Unknown",
    "WrittenOff",
]

SCHEMA = 1
"""Version of the event schema that this program writes; every event carries its own."""


class Stage(StrEnum):
    """Which of the two questions was answered: worth cleaning, or which bin."""

    RESIN = "resin"
    PLACING = "placing"


@dataclass(frozen=True, slots=True, kw_only=True)
class CampaignSet:
    """The campaign from here on, as its file says it, and the handbook edition it was read with."""

    campaign: Mapping[str, Any]
    edition: str

    def __post_init__(self) -> None:
        object.__setattr__(self, "campaign", MappingProxyType(deepcopy(dict(self.campaign))))


@dataclass(frozen=True, slots=True, kw_only=True)
class EvidenceAdded:
    """One more observation of an item."""

    item: str
    evidence: Evidence


@dataclass(frozen=True, slots=True, kw_only=True)
class Judged:
    """A verdict that a person was told, with the handbook edition it was taken by.

    Attributes:
        probability: [-] of `resin`.
        host: the charge's resin that it would melt with; None where it melts with none.
        cautions: ids of the cautions shown with it.
    """

    item: str
    stage: Stage
    verdict: Verdict
    resin: str
    probability: float
    host: str | None = None
    reasons: tuple[Reason, ...] = ()
    cautions: tuple[str, ...] = ()
    edition: str
    by: str | None = None

    def __post_init__(self) -> None:
        if not 0.0 <= self.probability <= 1.0:
            raise BadInput(where=f"{self.item}, probability", got=self.probability, expected="0 to 1")


@dataclass(frozen=True, slots=True, kw_only=True)
class PrepDone:
    """A prep step was done.

    Attributes:
        step: `closure`, `label`, `adhesive`, `residue` change the item's facts; other steps are only logged.
        minutes: [min] it took; None where nobody looked.
        left_on: what stayed, in the word of that fact (`partly`, `heavy`, `rinsed`, `on`); None: nothing.
        how: id of the method, such as `soak`; None where nobody said.
        covers: how much of the wall a label covered; None where nobody said.
    """

    item: str
    step: str
    minutes: float | None = None
    left_on: str | None = None
    how: str | None = None
    covers: Covers | None = None

    def __post_init__(self) -> None:
        not_negative(self.item, "minutes", self.minutes)


@dataclass(frozen=True, slots=True, kw_only=True)
class SplitOff:
    """`item` was taken off `parent` and is entered on its own: `mass_g` [g] moves, none is received twice."""

    item: str
    parent: str
    mass_g: float

    def __post_init__(self) -> None:
        not_negative(self.item, "mass", self.mass_g)


@dataclass(frozen=True, slots=True, kw_only=True)
class BinOpened:
    """A bin stands ready for one resin family, colour group and flow class.

    Attributes:
        filled: whether it takes plastic with filler (chalk, talc, glass).
        capacity_l: [L] how much it holds; None where nobody said.
        capacity_g: [g] how much it may weigh; None where nobody said.
    """

    bin: str
    resin: str
    colour: str
    flow: Flow
    filled: bool = False
    capacity_l: float | None = None
    capacity_g: float | None = None

    def __post_init__(self) -> None:
        not_negative(self.bin, "capacity", self.capacity_l)
        not_negative(self.bin, "capacity", self.capacity_g)


@dataclass(frozen=True, slots=True, kw_only=True)
class Placed:
    """An item lies in a bin."""

    item: str
    bin: str


@dataclass(frozen=True, slots=True, kw_only=True)
class TakenBack:
    """An item was taken out of a bin again."""

    item: str
    bin: str


@dataclass(frozen=True, slots=True, kw_only=True)
class LabelPrinted:
    """A bin got its tag, or a lot its label; `payload` is the text of its symbol.

    Attributes:
        bin: that was tagged, or that became the lot.
        lot: that was labelled; None: the bin's own tag.
    """

    bin: str
    payload: str
    edition: str
    lot: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Undone:
    """The event with id `event` does not count any more; undoing an `Undone` brings it back."""

    event: str
    reason: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Unknown:
    """An event that this version cannot read, kept as it stands and reported.

    Attributes:
        why: what was not understood, in a few words.
    """

    kind: str
    body: Any
    why: str = field(compare=False)


Known: TypeAlias = (
    CampaignSet | Received | Revised | EvidenceAdded | Judged | PrepDone
    | SplitOff | BinOpened | Placed | TakenBack | LabelPrinted | Undone
    | BinSplit | BinMerged | BinRelabelled | Regrouped
    | Shredded | Floated | Drawn | LotAdjusted | WrittenOff | MeltTested
    | PartMade
)  # fmt: skip
Body: TypeAlias = Known | Unknown

KINDS: Mapping[str, type[Known]] = MappingProxyType({kind.__name__: kind for kind in Known.__args__})
"""Name in the ledger → type of the body; read from `Known`."""
