"""`resources/melt.toml` → `MeltTable`."""

from collections.abc import Mapping
from typing import Any

from intake.errors import Finding
from intake.handbook.compat import must_exist
from intake.handbook.figures import RawTable, raw_table
from intake.table.compat.windows import Melt, MeltTable
from intake.table.resins import Figure, ResinId, ResinTable

_FIGURES = ("melting_c", "glass_c", "window_c", "onset_c", "solubility_mpa05")
_UNITS = ("degC", "degC", "degC", "degC", "MPa**0.5")


def read_melts(resins: ResinTable) -> MeltTable:
    """How each resin takes heat; a window must open under the onset of breakdown in air.

    Raises:
        HandbookGap: the file is missing or a row is faulty.
    """
    table = raw_table("melt.toml")
    rows = {ResinId(k): _melt(table, k, raw) for k, raw in table.data["resins"].items()}
    for resin, melt in rows.items():
        if resin not in resins.rows:
            table.findings.append(Finding(where="melt.toml", got=resin, expected="a resin of resins.toml"))
        if melt.window_c and melt.onset_c and melt.window_c.low >= melt.onset_c.low:
            expected = f"a window that opens under the onset of breakdown, {melt.onset_c.low:g} degC"
            table.findings.append(
                Finding(where=f"melt.toml, {resin}", got=f"{melt.window_c.low:g}", expected=expected)
            )
    general = {
        name: table.figure(table.data[name], name)
        for name in ("softening_margin_k", "reference_volume_cm3_mol", "chain_units")
    }
    table.done()
    return MeltTable(rows=rows, resins=resins, **general)


def _melt(table: RawTable, resin: str, raw: Mapping[str, Any]) -> Melt:
    figures = {name: _figure(table, resin, name, raw) for name in _FIGURES}
    for (name, figure), unit in zip(figures.items(), _UNITS, strict=True):
        if figure is not None and figure.unit != unit:
            table.findings.append(
                Finding(where=f"melt.toml, {resin} {name}", got=figure.unit, expected=f"the unit {unit}")
            )
    fumes = raw["fumes"]
    table.basis(fumes, f"melt.toml, {resin} fumes")
    must_exist(table, [fumes["source"]], f"melt.toml, {resin} fumes")
    return Melt(**figures, fumes=tuple(fumes["products"]), fumes_source=fumes["source"])


def _figure(table: RawTable, resin: str, name: str, raw: Mapping[str, Any]) -> Figure | None:
    if name not in raw:
        return None
    figure = table.figure(raw[name], f"{resin} {name}")
    must_exist(table, [figure.source] if figure.source else [], f"melt.toml, {resin} {name}")
    return figure
