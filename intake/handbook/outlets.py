"""`resources/outlets.toml` → `OutletTable`."""

from types import MappingProxyType

from intake.errors import Finding
from intake.handbook.figures import raw_table
from intake.table.compat.outlets import OutletTable
from intake.table.resins import ResinId, ResinTable


def read_outlets(resins: ResinTable) -> OutletTable:
    """Where resins go; each resin stands in one row, and exactly one row is for all others.

    Raises:
        HandbookGap: the file is missing or a row is faulty.
    """
    table = raw_table("outlets.toml")
    by_resin: dict[ResinId, str] = {}
    others = []
    for key, raw in table.data["outlets"].items():
        table.basis(raw, f"outlets.toml, {key}")
        if not raw["resins"]:
            others.append(key)
        for resin in map(ResinId, raw["resins"]):
            if resin not in resins.rows or resin in by_resin:
                expected = "a resin of resins.toml that no other row names"
                table.findings.append(Finding(where=f"outlets.toml, {key}", got=resin, expected=expected))
            by_resin[resin] = key
    if len(others) != 1:
        got, expected = ", ".join(others), "one row without resins, for all others"
        table.findings.append(Finding(where="outlets.toml", got=got, expected=expected))
    table.done()
    return OutletTable(MappingProxyType(by_resin), others[0], resins)
