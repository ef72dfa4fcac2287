"""`resources/losses.toml` → `YieldTables`."""

from collections.abc import Iterable
from types import MappingProxyType

from intake.errors import Finding
from intake.handbook.figures import RawTable, raw_table
from intake.table.item import Adhesive, Label, Residue
from intake.table.kinds import KindId, KindTable
from intake.table.resins import Figure
from intake.table.yields.losses import YieldTables

_FOOD = ("food-thin", "food-thick", "food-drink")


def read_losses(kinds: KindTable) -> YieldTables:
    """Loss shares; every share lies in 0..1 and every kind named exists.

    Raises:
        HandbookGap: the file is missing or a row is faulty.
    """
    table = raw_table("losses.toml")
    levels = [r.value for r in Residue if r is not Residue.FOOD]
    tables = YieldTables(
        residue=_rows(table, "residue", (*levels, *_FOOD)),
        thick_food=_kinds(table, "thick", kinds),
        drinks=_kinds(table, "drink", kinds),
        moisture=_share(table, table.data["moisture"], "moisture"),
        label=MappingProxyType({Label(k): v for k, v in _rows(table, "label", Label).items()}),
        label_left=_share(table, table.data["label_left_when_partly"], "label_left_when_partly"),
        adhesive=MappingProxyType({Adhesive(k): v for k, v in _rows(table, "adhesive", Adhesive).items()}),
        left_after_cleaning=_rows(table, "left_after_cleaning", ("adhesive", "residue")),
        offcut=_rows(table, "offcut", ("none",)),
        wash_and_handling=_share(table, table.data["wash_and_handling"], "wash_and_handling"),
        fines=_rows(table, "fines", ()),
        run_to_run=_share(table, table.data["run_to_run"], "run_to_run"),
        kind_variance_shared=_share(table, table.data["kind_variance_shared"], "kind_variance_shared"),
        town_variance_shared=_share(table, table.data["town_variance_shared"], "town_variance_shared"),
    )
    table.done()
    return tables


def _share(table: RawTable, raw: dict[str, object], where: str) -> Figure:
    """One figure that is a share of a whole."""
    figure = table.figure(raw, where)
    if not 0.0 <= figure.low <= figure.high < 1.0:
        at, got = f"{table.name}, {where}", f"{figure.low} to {figure.high}"
        table.findings.append(Finding(where=at, got=got, expected="a share from 0 to 1"))
    return figure


def _rows(table: RawTable, name: str, owed: Iterable[str]) -> MappingProxyType[str, Figure]:
    """A table of shares by row; a row that is owed and missing is a finding."""
    rows = {key: _share(table, raw, f"{name} {key}") for key, raw in table.data[name].items()}
    for key in owed:
        if str(key) not in rows:
            table.findings.append(
                Finding(where=f"{table.name}, {name}", got="", expected=f"a row called {key}")
            )
    return MappingProxyType(rows)


def _kinds(table: RawTable, name: str, kinds: KindTable) -> frozenset[KindId]:
    """The kinds of one food list; each must exist."""
    listed = [KindId(k) for k in table.data["food"][name]]
    table.findings.extend(
        Finding(where=f"{table.name}, food {name}", got=k, expected="a kind of kinds.toml")
        for k in listed
        if k not in kinds.rows
    )
    return frozenset(listed)
