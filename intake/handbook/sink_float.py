"""`resources/sink_float.toml` and the densities of the resins → `SinkFloatTables`."""

from types import MappingProxyType

from intake.errors import Finding
from intake.handbook.figures import RawTable, raw_table
from intake.table.bins.sink_float import SinkFloatTables
from intake.table.resins import Figure, ResinTable

_LEFT_ON = ("label", "adhesive", "residue", "closure")


def read_sink_float(resins: ResinTable) -> SinkFloatTables:
    """What goes where in a bath of shred; every share lies in 0..1.

    Raises:
        HandbookGap: the file is missing or a row is faulty.
    """
    table = raw_table("sink_float.toml")
    unknown = frozenset(table.data["unknown"])
    table.findings.extend(
        Finding(where="sink_float.toml, unknown", got=r, expected="a resin of resins.toml")
        for r in unknown - resins.rows.keys()
    )
    known = [resins.rows[r] for r in resins.judged if r in resins.rows and r not in unknown]
    tables = SinkFloatTables(
        density_g_cm3=MappingProxyType({str(r.id): r.density_g_cm3 for r in known if r.density_g_cm3}),
        strays=_share(table, "strays"),
        good_lost=_share(table, "good_lost"),
        bath_sd_g_cm3=table.figure(table.data["bath_sd"], "bath_sd"),
        slip=_share(table, "slip"),
        left_on=MappingProxyType({n: _share(table, "left_on", n) for n in _LEFT_ON}),
    )
    table.done()
    return tables


def _share(table: RawTable, *path: str) -> Figure:
    """One figure that is a share of a whole."""
    raw = table.data
    for name in path:
        raw = raw[name]
    at = " ".join(path)
    figure = table.figure(raw, at)
    if not 0.0 <= figure.low <= figure.high < 1.0:
        got = f"{figure.low} to {figure.high}"
        table.findings.append(Finding(where=f"{table.name}, {at}", got=got, expected="a share from 0 to 1"))
    return figure
