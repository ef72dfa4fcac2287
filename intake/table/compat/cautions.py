"""Which caution an act and a resin call for."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from enum import StrEnum
from typing import NewType

from intake.errors import HandbookGap
from intake.table.resins import Basis, ResinId, ResinTable

CautionId = NewType("CautionId", str)

UNKNOWN_CONTENT = CautionId("unknown-content")
PVC_HEAT = CautionId("pvc-heat")
POM_HEAT = CautionId("pom-heat")
CASING_HEAT = CautionId("foam-and-casing-heat")
OLD_PIGMENTS = CautionId("old-pigments")
NAMED_BY_RULES: tuple[CautionId, ...] = (UNKNOWN_CONTENT, PVC_HEAT, POM_HEAT, CASING_HEAT, OLD_PIGMENTS)
"""Cautions that the resin verdict names; the table must hold them."""


class Act(StrEnum):
    """What a person is about to do."""

    RECEIVE = "receive"
    IDENTIFY = "identify"
    CUT = "cut"
    SHRED = "shred"
    WASH = "wash"
    SOLVENT = "solvent"
    HEAT = "heat"
    STORE = "store"
    USE = "use"


class Level(StrEnum):
    """How strong a caution is, strongest first."""

    FORBID = "forbid"
    REQUIRED = "required"
    ADVICE = "advice"
    INFO = "info"


@dataclass(frozen=True, slots=True, kw_only=True)
class Caution:
    """One caution; its words are `caution.<id>.title` and `caution.<id>.text`.

    Attributes:
        id: our own word for it.
        acts: what it belongs to.
        level: forbid, required, advice or info.
        applies_to: resins it speaks of; empty for all.
        sources: keys of `sources.toml`.
        basis: where it comes from.
        why: one line where it is our own.
    """

    id: CautionId
    acts: frozenset[Act]
    level: Level
    applies_to: frozenset[ResinId] = frozenset()
    sources: tuple[str, ...] = ()
    basis: Basis = Basis.JUDGEMENT
    why: str = ""


@dataclass(frozen=True, slots=True)
class CautionTable:
    """All cautions by id, and the order in which the label of a lot names them."""

    rows: Mapping[CautionId, Caution]
    resins: ResinTable
    on_label: tuple[CautionId, ...] = ()

    def __post_init__(self) -> None:
        missing = [c for c in NAMED_BY_RULES if c not in self.rows]
        if missing:
            raise HandbookGap(f"cautions.toml: the verdict names {', '.join(missing)}, which no row holds.")

    def cautions_for(self, act: Act, resins: Iterable[ResinId] = ()) -> tuple[Caution, ...]:
        """Every caution of the act that speaks of all resins or of one of these, the strongest first.

        A caution on PVC holds for PVC-P. Where no resin is told, only what holds for all resins is given.
        """
        family = {wider for r in resins for wider in self.resins.line(r)}
        found = [
            c
            for c in self.rows.values()
            if act in c.acts and (not c.applies_to or not c.applies_to.isdisjoint(family))
        ]
        return tuple(sorted(found, key=lambda c: list(Level).index(c.level)))

    def for_label(self, resin: ResinId, most: int = 2) -> tuple[CautionId, ...]:
        """The first `most` cautions of the label's order that speak of all resins or of this one."""
        family = set(self.resins.line(resin))
        rows = (self.rows[c] for c in self.on_label)
        found = [c.id for c in rows if not c.applies_to or not c.applies_to.isdisjoint(family)]
        return tuple(found[:most])
