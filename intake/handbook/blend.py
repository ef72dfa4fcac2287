"""`resources/flow.toml` → `BlendTables`."""

from types import MappingProxyType

from intake.errors import Finding
from intake.handbook.figures import raw_table
from intake.table.charge.stock import BlendTables
from intake.table.kinds import Flow
from intake.table.resins import Figure, ResinId, ResinTable


def read_blend(resins: ResinTable) -> BlendTables:
    """Melt flow rates; every resin exists and every rate is above 0.

    Raises:
        HandbookGap: the file is missing or a row is faulty.
    """
    table = raw_table("flow.toml")
    rates: dict[tuple[ResinId, Flow], Figure] = {}
    for resin, rows in table.data["rates"].items():
        if resin not in resins.rows:
            table.findings.append(Finding(where="flow.toml", got=resin, expected="a resin of resins.toml"))
        for name, raw in rows.items():
            if name not in list(Flow):
                expected = "one of " + ", ".join(Flow)
                table.findings.append(Finding(where=f"flow.toml, {resin}", got=name, expected=expected))
                continue
            figure = table.figure(raw, f"{resin} {name}")
            rates[ResinId(resin), Flow(name)] = figure
            if figure.low <= 0.0:
                where = f"flow.toml, {resin} {name}"
                table.findings.append(Finding(where=where, got=f"{figure.low:g}", expected="a rate above 0"))
    blend = {name: table.figure(table.data["blend"][name], name) for name in ("opening_de00", "unknown_de00")}
    table.done()
    return BlendTables(rates=MappingProxyType(rates), **blend)
