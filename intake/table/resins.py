"""What a resin is called, what it is a kind of, and how a handbook value is written down."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from typing import NewType

from intake.errors import UnknownName

ResinId = NewType("ResinId", str)
OTHER = ResinId("other")
"""The class of everything that no named resin stands for."""


class Basis(StrEnum):
    """Where a handbook value comes from; shown beside the value."""

    READ = "read"
    LIBRARY = "library"
    MEMORY = "memory"
    COMMON_PRACTICE = "common-practice"
    JUDGEMENT = "judgement"


@dataclass(frozen=True, slots=True, kw_only=True)
class Figure:
    """A handbook value as a range, with the unit and the place it was read.

    `low` and `high` are read as the 10th and 90th percentile (about eight of ten cases lie between them).
    `source` is a key of `sources.toml`; `why` is the one line that a judgement owes.
    """

    low: float
    typical: float
    high: float
    unit: str
    basis: Basis
    source: str = ""
    why: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Reason:
    """Why something was decided: a code that `intake.words` turns into a sentence, with its values."""

    code: str
    values: tuple[tuple[str, str | float], ...] = ()

    @classmethod
    def of(cls, code: str, **values: str | float) -> "Reason":
        """A reason with named values, in a fixed order."""
        return cls(code=code, values=tuple(sorted(values.items())))


@dataclass(frozen=True, slots=True, kw_only=True)
class Resin:
    """One row of the resin table.

    Attributes:
        id: ISO 1043-1 abbreviated term (PE-HD); the same id serves marks, odds, matrix and labels.
        name: the chemical name.
        code: number of ASTM D7611 / 97/129/EC where one exists.
        parent: the wider term that this one is a kind of (PVC-U is a PVC).
        judged_as: the class of the posterior that stands for it; itself for most.
        density_g_cm3: [g/cm3] solid, unfilled, at 23 degC; None where the term is too wide.
    """

    id: ResinId
    name: str
    code: int | None = None
    parent: ResinId | None = None
    judged_as: ResinId
    density_g_cm3: Figure | None = None


@dataclass(frozen=True, slots=True)
class ResinTable:
    """All resins by id, with their family lines."""

    rows: Mapping[ResinId, Resin]
    judged: tuple[ResinId, ...] = field(init=False)
    """The classes of the posterior, in table order, `other` last."""

    def __post_init__(self) -> None:
        seen = dict.fromkeys(r.judged_as for r in self.rows.values() if r.judged_as != OTHER)
        object.__setattr__(self, "judged", (*seen, OTHER))

    def get(self, name: str, *, where: str = "Resin") -> Resin:
        """The row called `name`, without regard to case.

        Raises:
            UnknownName: no row has that id; the nearest ids are named.
        """
        found = self.rows.get(ResinId(name)) or next(
            (r for k, r in self.rows.items() if k.casefold() == name.strip().casefold()), None
        )
        if found is None:
            raise UnknownName(where=where, got=name, known=self.rows)
        return found

    def line(self, resin: ResinId) -> Iterable[ResinId]:
        """The resin, its parent, its parent's parent, and so on."""
        at: ResinId | None = resin
        while at is not None:
            yield at
            row = self.rows.get(at)
            at = row.parent if row else None

    def is_a(self, resin: ResinId, wider: ResinId) -> bool:
        """True when `resin` is `wider` or a kind of it: PVC-U is a PVC, PE-HD is a PE."""
        return wider in self.line(resin)

    def code(self, resin: ResinId) -> int | None:
        """The code number of the resin or of the nearest wider term that has one."""
        return next((self.rows[r].code for r in self.line(resin) if self.rows[r].code), None)
