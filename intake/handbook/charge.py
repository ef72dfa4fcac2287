"""`resources/shrinkage.toml` and `resources/heat.toml` → the tables of the charge room."""

from collections.abc import Mapping
from types import MappingProxyType
from typing import Any

from intake.errors import Finding
from intake.handbook.figures import RawTable, raw_table
from intake.table.charge.heat import HeatRow, HeatTables
from intake.table.charge.parts import PartDoubt
from intake.table.charge.shrink import ShrinkRow, ShrinkTables, TaitMelt, TaitTwoDomain
from intake.table.resins import ResinId, ResinTable


def read_shrinkage(resins: ResinTable) -> ShrinkTables:
    """Shrinkage and Tait constants; every resin exists and every share lies in 0..1.

    Raises:
        HandbookGap: the file is missing or a row is faulty.
    """
    table = raw_table("shrinkage.toml")
    rows = {}
    for key, raw in _rows(table, "resins", resins):
        row = ShrinkRow(
            moulded=table.figure(raw["moulded"], f"{key} moulded"),
            oven=table.figure(raw["oven"], f"{key} oven"),
            contraction=table.figure(raw["contraction"], f"{key} contraction"),
        )
        rows[key] = row
        for figure in (row.moulded, row.oven, row.contraction):
            if not 0.0 <= figure.low <= figure.high < 1.0:
                got = f"{figure.low:g} to {figure.high:g}"
                table.findings.append(
                    Finding(where=f"shrinkage.toml, {key}", got=got, expected="a share from 0 to 1")
                )
    melts = {key: _tait_melt(table, key, raw) for key, raw in _rows(table, "tait_melt", resins)}
    cooled = {key: _two_domain(table, key, raw) for key, raw in _rows(table, "tait_two_domain", resins)}
    doubt = {name: table.figure(table.data["part_doubt"][name], name) for name in ("voids", "ruler_mm")}
    table.done()
    return ShrinkTables(
        rows=MappingProxyType(rows), melts=MappingProxyType(melts), two_domain=MappingProxyType(cooled),
        part_doubt=PartDoubt(**doubt),
    )  # fmt: skip


def read_heat(resins: ResinTable) -> HeatTables:
    """Heat figures, measured heat capacities and the oven.

    Raises:
        HandbookGap: the file is missing or a row is faulty.
    """
    table = raw_table("heat.toml")
    rows = {key: _heat_row(table, key, raw) for key, raw in _rows(table, "resins", resins)}
    measured = {}
    for key, raw in _rows(table, "cp_table", resins):
        table.basis(raw, f"heat.toml, cp_table {key}")
        points = tuple((float(t), float(c)) for t, c in raw["points_k_j_kg_k"])
        measured[key] = points
        if list(points) != sorted(points):
            got = "points out of order"
            table.findings.append(
                Finding(where=f"heat.toml, cp_table {key}", got=got, expected="rising temperatures")
            )
    oven = {name: table.figure(raw, f"oven {name}") for name, raw in table.data["oven"].items()}
    table.done()
    return HeatTables(
        rows=MappingProxyType(rows), measured=MappingProxyType(measured), oven_kw=oven["power_kw"],
        minutes_between_fills=oven["minutes_between_fills"], overshoot_k=oven["overshoot_k"],
        limit_unknown_c=oven["limit_unknown_c"], cautions=tuple(table.data["cautions"]),
    )  # fmt: skip


def _rows(table: RawTable, name: str, resins: ResinTable) -> list[tuple[ResinId, dict[str, Any]]]:
    """The rows of one sub-table; each is a resin of the resin table."""
    rows = [(ResinId(key), raw) for key, raw in table.data[name].items()]
    table.findings.extend(
        Finding(where=f"{table.name}, {name}", got=key, expected="a resin of resins.toml")
        for key, _ in rows
        if key not in resins.rows
    )
    return rows


def _numbers(raw: Mapping[str, Any], *names: str) -> tuple[float, ...]:
    """Several plain numbers of a row."""
    return tuple(float(raw[name]) for name in names)


def _tait_melt(table: RawTable, key: str, raw: dict[str, Any]) -> TaitMelt:
    """Constants of one melt."""
    table.basis(raw, f"shrinkage.toml, tait_melt {key}")
    a0, a1, a2, b0, b1, from_c, to_c = _numbers(
        raw, "a0_m3_kg", "a1_m3_kg_c", "a2_m3_kg_c2", "b0_pa", "b1_per_c", "from_c", "to_c"
    )
    return TaitMelt(
        a0_m3_kg=a0, a1_m3_kg_c=a1, a2_m3_kg_c2=a2, b0_pa=b0, b1_per_c=b1, from_c=from_c, to_c=to_c
    )


def _two_domain(table: RawTable, key: str, raw: dict[str, Any]) -> TaitTwoDomain:
    """Constants of melt and solid of one resin."""
    table.basis(raw, f"shrinkage.toml, tait_two_domain {key}")
    m1, m2, m3, m4 = _numbers(raw, "b1m", "b2m", "b3m", "b4m")
    s1, s2, s3, s4 = _numbers(raw, "b1s", "b2s", "b3s", "b4s")
    b5, b6, b7, b8, b9 = _numbers(raw, "b5", "b6", "b7", "b8", "b9")
    return TaitTwoDomain(
        melt=(m1, m2, m3, m4), solid=(s1, s2, s3, s4), b5_k=b5, b6_k_pa=b6, b7_m3_kg=b7, b8_per_k=b8,
        b9_per_pa=b9, set_c=table.figure(raw["set_c"], f"{key} set"),
    )  # fmt: skip


def _heat_row(table: RawTable, key: str, raw: dict[str, Any]) -> HeatRow:
    """Heat figures of one resin."""
    fusion, crystallinity = raw.get("fusion"), raw.get("crystallinity")
    return HeatRow(
        change_c=table.figure(raw["change"], f"{key} change"),
        melt_c=table.figure(raw["melt"], f"{key} melt"),
        cp_solid_j_gk=table.figure(raw["cp_solid"], f"{key} cp_solid"),
        cp_melt_j_gk=table.figure(raw["cp_melt"], f"{key} cp_melt"),
        fusion_j_g=table.figure(fusion, f"{key} fusion") if fusion else None,
        crystallinity=table.figure(crystallinity, f"{key} crystallinity") if crystallinity else None,
        cautions=tuple(raw.get("cautions", ())),
    )
