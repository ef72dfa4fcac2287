"""`resources/kinds.toml` → `KindTable`."""

import math

from intake.errors import Finding
from intake.handbook.figures import RawTable, raw_table
from intake.table.kinds import Flow, Kind, KindId, KindTable
from intake.table.resins import ResinId, ResinTable


def read_kinds(resins: ResinTable) -> KindTable:
    """The kinds table; every prior names judged resins only and sums to 1.

    Raises:
        HandbookGap: the file is missing or a row is faulty.
    """
    table = raw_table("kinds.toml")
    priors = {name: _prior(table, name, raw["share"], resins) for name, raw in table.data["priors"].items()}
    rows = {}
    for key, raw in table.data["kinds"].items():
        closure = raw.get("closure")
        rows[KindId(key)] = Kind(
            id=KindId(key),
            names=tuple(raw["names"]),
            prior=priors[raw["prior"]],
            body_g=table.figure(raw["body_g"], f"{key} body"),
            closure_g=table.figure(closure["mass_g"], f"{key} closure") if closure else None,
            closure_resins=tuple(ResinId(r) for r in closure["resins"]) if closure else (),
            label=raw["label"],
            label_share=table.figure(raw["label_share"], f"{key} label"),
            flow=Flow(raw["flow"]),
            volume_ml=raw.get("volume_ml"),
            flags=frozenset(raw.get("flags", ())),
            picture=raw.get("picture", "other"),
        )
    common = tuple(KindId(k) for k in table.data["common"])
    for kind in common:
        if kind not in rows:
            table.findings.append(
                Finding(where="kinds.toml, common", got=kind, expected="a kind of this table")
            )
    table.done()
    return KindTable(rows, common)


def _prior(table: RawTable, name: str, raw: dict[str, float], resins: ResinTable) -> dict[ResinId, float]:
    """One prior over all judged resins; resins that the row does not name have none."""
    for resin in raw:
        if ResinId(resin) not in resins.judged:
            table.findings.append(
                Finding(where=f"kinds.toml, prior {name}", got=resin, expected="a judged resin")
            )
    if not math.isclose(sum(raw.values()), 1.0, abs_tol=1e-6):
        table.findings.append(
            Finding(
                where=f"kinds.toml, prior {name}",
                got=f"{sum(raw.values()):.6f}",
                expected="shares that sum to 1",
            )
        )
    return {r: float(raw.get(r, 0.0)) for r in resins.judged}
