"""`resources/resins.toml` → `ResinTable`."""

from intake.errors import Finding
from intake.handbook.figures import raw_table
from intake.table.resins import Resin, ResinId, ResinTable


def read_resins() -> ResinTable:
    """The resin table; parents and judged classes must exist.

    Raises:
        HandbookGap: the file is missing or a row is faulty.
    """
    table = raw_table("resins.toml")
    rows: dict[ResinId, Resin] = {}
    for key, raw in table.data["resins"].items():
        density = raw.get("density_g_cm3")
        parent = raw.get("parent")
        rows[ResinId(key)] = Resin(
            id=ResinId(key),
            name=raw["name"],
            code=raw.get("code"),
            parent=ResinId(parent) if parent else None,
            judged_as=ResinId(raw.get("judged_as", key)),
            density_g_cm3=table.figure(density, f"{key} density") if density else None,
        )
    for row in rows.values():
        for wanted in (row.parent, row.judged_as):
            if wanted is not None and wanted not in rows:
                table.findings.append(
                    Finding(where=f"resins.toml, {row.id}", got=wanted, expected="a resin of the table")
                )
    table.done()
    return ResinTable(rows)
