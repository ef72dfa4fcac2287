"""`resources/bulk.toml` → `BulkTables`."""

from collections.abc import Mapping
from types import MappingProxyType

from intake.errors import Finding
from intake.handbook.figures import RawTable, raw_table
from intake.table.kinds import Flow
from intake.table.resins import Figure, ResinId, ResinTable
from intake.table.yields.bulk import BulkTables

_LOOSE = ("film", "cap", "other")


def read_bulk(resins: ResinTable) -> BulkTables:
    """Bulk densities; every density is above 0 and every resin exists.

    Raises:
        HandbookGap: the file is missing or a row is faulty.
    """
    table = raw_table("bulk.toml")
    forms: dict[str, Figure] = {}
    own: dict[tuple[str, ResinId], Figure] = {}
    for form, rows in table.data["shred"].items():
        for name, raw in rows.items():
            figure = _above_zero(table, raw, f"shred {form} {name}")
            if name == "default":
                forms[form] = figure
                continue
            own[form, ResinId(name)] = figure
            if ResinId(name) not in resins.rows:
                table.findings.append(Finding(where="bulk.toml", got=name, expected="a resin of resins.toml"))
        if form not in forms:
            table.findings.append(Finding(where=f"bulk.toml, {form}", got="", expected="a default row"))
    loose = {name: _above_zero(table, table.data["loose"][name], f"loose {name}") for name in _LOOSE}
    tables = BulkTables(
        shred_g_cm3=MappingProxyType(forms),
        shred_by_resin_g_cm3=MappingProxyType(own),
        packing_share=_above_zero(table, table.data["packing_share"], "packing_share"),
        outer_per_content=_above_zero(table, table.data["outer_per_content"], "outer_per_content"),
        loose_g_cm3=MappingProxyType(loose),
        flattened_g_cm3=_above_zero(table, table.data["flattened"], "flattened"),
        form_of=MappingProxyType(_forms_made(table, forms)),
    )
    table.done()
    return tables


def _forms_made(table: RawTable, forms: Mapping[str, Figure]) -> dict[tuple[str, Flow], str]:
    """Which form of shred each cutting machine makes; every form named exists."""
    made = {}
    for shredder, rows in table.data["form_of"].items():
        for flow in Flow:
            form = str(rows.get(flow.value, ""))
            if form not in forms:
                at = f"{table.name}, form_of {shredder} {flow}"
                table.findings.append(Finding(where=at, got=form, expected="one of " + ", ".join(forms)))
            made[shredder, flow] = form
    return made


def _above_zero(table: RawTable, raw: dict[str, object], where: str) -> Figure:
    """A figure that something is divided by."""
    figure = table.figure(raw, where)
    if figure.low <= 0:
        table.findings.append(
            Finding(where=f"{table.name}, {where}", got=f"{figure.low:g}", expected="a figure above 0")
        )
    return figure
