"""`resources/footprint.toml` → `FootprintTables`."""

from types import MappingProxyType
from typing import Any

from intake.errors import Finding
from intake.handbook.compat import must_exist
from intake.handbook.figures import RawTable, raw_table
from intake.table.resins import Figure, ResinId, ResinTable
from intake.table.yields.footprint import FootprintTables, Virgin


def read_footprint(resins: ResinTable) -> FootprintTables:
    """Water and electricity; nothing is below 0, no batch is 0, every resin and source exists.

    Raises:
        HandbookGap: the file is missing or a row is faulty.
    """
    table = raw_table("footprint.toml")
    virgin = {ResinId(key): _virgin(table, key, raw) for key, raw in table.data["virgin"].items()}
    for resin in virgin:
        if resin not in resins.rows:
            table.findings.append(
                Finding(where="footprint.toml, virgin", got=resin, expected="a resin of resins.toml")
            )
    made = FootprintTables(
        wash_l_kg=_rows(table, "wash_l_kg"),
        warmed_k=_figure(table, table.data["warmed_k"], "warmed_k"),
        water_kj_kg_k=_figure(table, table.data["water_kj_kg_k"], "water_kj_kg_k"),
        shred_kwh_kg=_rows(table, "shred_kwh_kg"),
        oven_h=_figure(table, table.data["oven_h"], "oven_h"),
        batch_kg=_figure(table, table.data["batch_kg"], "batch_kg"),
        virgin=MappingProxyType(virgin),
    )
    if made.batch_kg.low <= 0.0:
        table.findings.append(
            Finding(where="footprint.toml, batch_kg", got=f"{made.batch_kg.low:g}", expected="above 0 kg")
        )
    table.done()
    return made


def _rows(table: RawTable, name: str) -> MappingProxyType[str, Figure]:
    return MappingProxyType({k: _figure(table, raw, f"{name} {k}") for k, raw in table.data[name].items()})


def _virgin(table: RawTable, key: str, raw: dict[str, Any]) -> Virgin:
    names = ("energy_mj_kg", "water_l_kg", "co2e_kg_kg")
    return Virgin(**{name: _figure(table, raw[name], f"virgin {key} {name}") for name in names})


def _figure(table: RawTable, raw: dict[str, Any], where: str) -> Figure:
    """One figure of 0 or more, from a work that exists."""
    figure = table.figure(raw, where)
    must_exist(table, [figure.source] if figure.source else [], f"{table.name}, {where}")
    if figure.low < 0.0:
        table.findings.append(
            Finding(where=f"{table.name}, {where}", got=f"{figure.low:g}", expected="0 or more")
        )
    return figure
