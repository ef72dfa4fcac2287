"""`resources/sources.toml` → the works that figures are taken from, by key."""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from intake.errors import Finding
from intake.handbook.figures import raw_table
from intake.table.resins import Basis


@dataclass(frozen=True, slots=True, kw_only=True)
class Work:
    """One work: what it is, by whom, from when, and how much of it was read.

    Attributes:
        key: as figures name it (`S05`).
        title: of the work; in our own words where it has none.
        by: author or publisher; empty where nobody is named.
        year: of publication as written; empty where unknown.
        basis: whether it was read, computed with a library, or is recalled from memory.
        what_was_read: which part; empty where it was not read.
        url: where it was read; empty where it was not.
    """

    key: str
    title: str
    by: str
    year: str
    basis: Basis
    what_was_read: str
    url: str

    @property
    def cited(self) -> str:
        """The work as it stands beside a figure: "S05: Polymer Heats of Fusion (2002)"; "from memory" where so."""
        told = [self.year] if self.year else []
        if self.basis is not Basis.READ:
            told.append(f"from {self.basis.value}" if self.basis is Basis.MEMORY else self.basis.value)
        return f"{self.key}: {self.title}" + (f" ({', '.join(told)})" if told else "")


def read_sources() -> Mapping[str, Work]:
    """All works by key; every one has a title and a basis.

    Raises:
        HandbookGap: the file is missing or a work is faulty.
    """
    table = raw_table("sources.toml")
    works = {}
    for key, raw in table.data.items():
        if not isinstance(raw, dict):
            continue
        at = f"sources.toml, {key}"
        if not raw.get("title"):
            table.findings.append(Finding(where=at, got="", expected="a title"))
        works[key] = Work(
            key=key, title=str(raw.get("title", "")), by=str(raw.get("by", "")), year=str(raw.get("year", "")),
            basis=table.basis({**raw, "source": key}, at),
            what_was_read=str(raw.get("what_was_read", "")), url=str(raw.get("url", "")),
        )  # fmt: skip
    table.done()
    return MappingProxyType(works)
