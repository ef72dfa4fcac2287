"""`resources/prep.toml` → `PrepTables`."""

from types import MappingProxyType

from intake.errors import Finding
from intake.handbook.figures import RawTable, raw_table
from intake.table.prep.steps import FORBIDDEN_METHODS, Method, PrepTables
from intake.table.resins import ResinId, ResinTable


def read_prep(resins: ResinTable) -> PrepTables:
    """Methods and hand times; no forbidden method, every task that is timed has a method.

    Raises:
        HandbookGap: the file is missing or a row is faulty.
    """
    table = raw_table("prep.toml")
    methods = tuple(_method(table, key, raw, resins) for key, raw in table.data["methods"].items())
    hand_s = {key: table.figure(raw, f"hand_s {key}") for key, raw in table.data["hand_s"].items()}
    done = {task for m in methods for task in m.suits}
    table.findings.extend(
        Finding(where=f"prep.toml, {task}", got="", expected="a method and a hand time for each task")
        for task in sorted(done ^ set(hand_s))
    )
    tables = PrepTables(
        methods=methods,
        hand_s=MappingProxyType(hand_s),
        cut_out_above_s=table.figure(table.data["cut_out_above_s"], "cut_out_above_s").typical,
    )
    table.done()
    return tables


def _method(table: RawTable, key: str, raw: dict[str, object], resins: ResinTable) -> Method:
    """One method; it is not forbidden and harms only resins that exist."""
    never = [ResinId(r) for r in _texts(raw.get("never"))]
    table.findings.extend(
        Finding(where=f"prep.toml, {key}", got=r, expected="a resin of resins.toml")
        for r in never
        if r not in resins.rows
    )
    if any(word in key for word in FORBIDDEN_METHODS):
        table.findings.append(Finding(where="prep.toml", got=key, expected="a method safe at a table"))
    soak, water = raw.get("soak_min"), raw.get("water_c")
    return Method(
        id=key,
        suits=frozenset(_texts(raw.get("suits"))),
        never=frozenset(never),
        soak_min=table.figure(soak, f"{key} soak") if isinstance(soak, dict) else None,
        water_c=table.figure(water, f"{key} water") if isinstance(water, dict) else None,
        cautions=tuple(_texts(raw.get("cautions"))),
    )


def _texts(value: object) -> list[str]:
    """A list of texts, empty where there is none."""
    return [str(v) for v in value] if isinstance(value, list) else []
