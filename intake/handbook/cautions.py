"""`resources/cautions.toml` → `CautionTable`."""

from collections.abc import Mapping
from typing import Any

from intake.errors import Finding
from intake.handbook.compat import checked_sources, one_of
from intake.handbook.figures import RawTable, raw_table
from intake.table.compat.cautions import Act, Caution, CautionId, CautionTable, Level
from intake.table.resins import ResinId, ResinTable


def read_cautions(resins: ResinTable) -> CautionTable:
    """All cautions; each belongs to an act and names resins of the table or none.

    Raises:
        HandbookGap: the file is missing, a row is faulty, or a caution that a rule names is missing.
    """
    table = raw_table("cautions.toml")
    rows = {CautionId(k): _caution(table, k, raw, resins) for k, raw in table.data["cautions"].items()}
    table.basis(table.data["on_label"], "cautions.toml, on_label")
    on_label = tuple(CautionId(c) for c in table.data["on_label"]["order"])
    for caution in on_label:
        if caution not in rows:
            table.findings.append(
                Finding(where="cautions.toml, on_label", got=caution, expected="a caution of the table")
            )
    table.done()
    return CautionTable(rows, resins, on_label)


def _caution(table: RawTable, key: str, raw: Mapping[str, Any], resins: ResinTable) -> Caution:
    at = f"cautions.toml, {key}"
    sources, basis = checked_sources(table, raw, at)
    applies_to = frozenset(ResinId(r) for r in raw.get("applies_to", ()))
    for resin in sorted(applies_to - set(resins.rows)):
        table.findings.append(Finding(where=at, got=resin, expected="a resin of resins.toml"))
    if not raw["acts"]:
        table.findings.append(Finding(where=at, got="", expected="the act that the caution belongs to"))
    return Caution(
        id=CautionId(key), acts=frozenset(one_of(table, Act, a, at) for a in raw["acts"]),
        level=one_of(table, Level, raw["level"], at), applies_to=applies_to,
        sources=sources, basis=basis, why=raw.get("why", ""),
    )  # fmt: skip
