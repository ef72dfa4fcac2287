"""What the marks room must know: numbers, terms, spellings, fillers and how far to trust a mark."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from intake.table.resins import OTHER, Figure, ResinId

ASTM_D7611 = "ASTM D7611"
EU_97_129 = "97/129/EC"
GB_16288 = "GB/T 16288"
ISO_1043 = "ISO 1043-1"
ISO_11469 = "ISO 11469"
COMPOSITE = "composite"
"""The group of 97/129/EC whose materials are bonded together."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Term:
    """One term for a plastic.

    Attributes:
        id: the term itself (PE-HD, PA66, ASA).
        listed: the resin of `resins.toml` that stands for it; `other` where none does.
        remelts: False where it never melts again.
        halogen: what its smoke carries ("chlorine", "fluorine"); empty where nothing.
        foam: True where the piece is mostly gas, so that the solid density says nothing about it.
        plasticized: True where a plasticizer may be named behind it.
        clashes: what else the same letters mean when they stand alone; `weak` where that is the commoner one.
        density_g_cm3: [g/cm3] solid, unfilled; None where nobody said.
    """

    id: ResinId
    name: str
    listed: ResinId = OTHER
    remelts: bool = True
    halogen: str = ""
    foam: bool = False
    plasticized: bool = False
    clashes: str = ""
    weak: bool = False
    density_g_cm3: Figure | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Alias:
    """Another spelling of a term: `form` is what it adds ("oriented film"), `weak` where it says little."""

    term: ResinId
    form: str = ""
    weak: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class NumberRow:
    """One number of one list; a plastic has a `term`, anything else a `group` and a `material`."""

    standard: str
    number: int
    term: ResinId | None = None
    letters: tuple[str, ...] = ()
    also_terms: tuple[ResinId, ...] = ()
    group: str = ""
    material: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class NotPlastic:
    """Letters that name paper, metal, wood, textile or glass; `alone` False where they need their number."""

    letters: str
    material: str
    group: str
    alone: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class FillerMaterial:
    """What a filler is made of; solid density [g/cm3], None where the letter is too wide."""

    material: str
    density_g_cm3: Figure | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Element:
    """A metal that may stand after ME…: its chemical symbol, name and density [g/cm3]."""

    symbol: str
    name: str
    density_g_cm3: Figure


@dataclass(frozen=True, slots=True, kw_only=True)
class FlameRetardant:
    """One code of ISO 1043-4."""

    code: int
    meaning: str
    halogen: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Claim:
    """A word or symbol that is no resin mark; `code` names the sentence that is said."""

    code: str
    kind: str


@dataclass(frozen=True, slots=True, kw_only=True)
class MarkTables:
    """All tables of the marks; every key is upper case without spaces.

    Attributes:
        unassigned: (first, last, group) of the numbers that 97/129/EC keeps without giving them away.
        halogen_range: first and last flame retardant code of the halogen families.
        wider: a term's next wider term, as in the resin table.
        trust: [-] by form of mark: chance that a legible moulded one names what the body is made of.
        trust_how: [-] by how it stands on the item: the part of that trust that is left.
    """

    numbers: tuple[NumberRow, ...]
    unassigned: tuple[tuple[int, int, str], ...]
    not_plastic: Mapping[str, NotPlastic]
    terms: Mapping[str, Term]
    aliases: Mapping[str, Alias]
    fillers: Mapping[str, FillerMaterial]
    forms: Mapping[str, str]
    elements: Mapping[str, Element]
    plasticizers: Mapping[str, str]
    flame_retardants: Mapping[int, FlameRetardant]
    halogen_range: tuple[int, int]
    claims: Mapping[str, Claim]
    wider: Mapping[ResinId, ResinId]
    trust: Mapping[str, Figure]
    trust_how: Mapping[str, Figure]

    def term(self, key: str) -> Term | None:
        """The term that `key` is, or is another spelling of; None where nobody knows it."""
        found = self.terms.get(key)
        if found is None and key in self.aliases:
            found = self.terms.get(self.aliases[key].term.upper())
        return found

    def rows(self, number: int) -> tuple[NumberRow, ...]:
        """Every list's meaning of a number, in the order the lists are tried."""
        return tuple(r for r in self.numbers if r.number == number)

    def group_of(self, number: int) -> str:
        """The group that 97/129/EC keeps an unassigned number for; empty where it keeps it for none."""
        return next((g for first, last, g in self.unassigned if first <= number <= last), "")

    def is_a(self, term: ResinId, wider: ResinId) -> bool:
        """True when `term` is `wider` or a kind of it."""
        at: ResinId | None = term
        while at is not None and at != wider:
            at = self.wider.get(at)
        return at == wider

    def spellings(self) -> Iterable[str]:
        """Every mark that could be proposed to a person whose mark is unknown."""
        yield from (t.id for t in self.terms.values())
        yield from self.aliases
        yield from (n for n, row in self.not_plastic.items() if row.alone)
