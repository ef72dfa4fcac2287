"""TOML values → `Figure`, with every fault of a table found in one pass."""

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from intake.errors import Finding, HandbookGap
from intake.handbook.locate import resources
from intake.table.resins import Basis, Figure


@dataclass(slots=True)
class RawTable:
    """One TOML file of `resources/`, its edition, and what was found wrong while reading it."""

    name: str
    edition: str
    data: Mapping[str, Any]
    findings: list[Finding] = field(default_factory=list)

    def figure(self, raw: Mapping[str, Any], where: str) -> Figure:
        """The figure in `raw` (low, typical, high, unit, basis, source, why); faults are collected.

        A basis of `read` or `library` owes a source, a judgement owes its one-line why.
        """
        at = f"{self.name}, {where}"
        values = [raw.get(k) for k in ("low", "typical", "high")]
        if not all(isinstance(v, int | float) and not isinstance(v, bool) for v in values):
            self.findings.append(
                Finding(where=at, got=str(values), expected="low, typical and high as numbers")
            )
            values = [0.0, 0.0, 0.0]
        low, typical, high = (float(v) for v in values if v is not None)
        if not low <= typical <= high:
            self.findings.append(Finding(where=at, got=str(values), expected="low ≤ typical ≤ high"))
        basis = self.basis(raw, at)
        return Figure(
            low=low, typical=typical, high=high, unit=str(raw.get("unit", "")), basis=basis,
            source=str(raw.get("source", "")), why=str(raw.get("why", "")),
        )  # fmt: skip

    def basis(self, raw: Mapping[str, Any], at: str) -> Basis:
        """The basis of a row, checked against what that basis owes."""
        try:
            basis = Basis(raw.get("basis", ""))
        except ValueError:
            known = ", ".join(Basis)
            self.findings.append(
                Finding(where=at, got=str(raw.get("basis", "")), expected=f"a basis: {known}")
            )
            return Basis.JUDGEMENT
        if basis in (Basis.READ, Basis.LIBRARY) and not raw.get("source"):
            self.findings.append(Finding(where=at, got="", expected=f"a source, which basis {basis} owes"))
        if basis is Basis.JUDGEMENT and not raw.get("why"):
            self.findings.append(Finding(where=at, got="", expected="a one-line why, which a judgement owes"))
        return basis

    def done(self) -> None:
        """Raise all findings at once.

        Raises:
            HandbookGap: at least one value of the table is faulty.
        """
        if self.findings:
            raise HandbookGap("\n".join(str(f) for f in self.findings))


def read_toml(path: Path) -> dict[str, Any]:
    """A TOML file as plain values.

    Raises:
        HandbookGap: the file is missing or no TOML.
    """
    try:
        return tomllib.loads(path.read_text(encoding="utf-8"))
    except (OSError, tomllib.TOMLDecodeError) as error:
        raise HandbookGap(f"Handbook table {path.name} cannot be read: {error}") from error


def raw_table(name: str) -> RawTable:
    """The table `name` of `resources/`, such as "kinds.toml"; it must carry an edition."""
    data = read_toml(resources() / name)
    table = RawTable(name=name, edition=str(data.get("edition", "")), data=data)
    if not table.edition:
        table.findings.append(Finding(where=name, got="", expected='an edition such as "2026-11"'))
    return table
