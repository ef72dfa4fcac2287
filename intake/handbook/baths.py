"""`resources/baths.toml` → `BathTable`."""

from collections.abc import Mapping
from itertools import pairwise
from typing import Any

from intake.errors import Finding
from intake.handbook.figures import RawTable, raw_table
from intake.table.identify.bath_facts import BathFacts, BathTable, Solute
from intake.table.identify.solutions import (
    EthanolFit,
    IsopropanolFit,
    PlainWater,
    SaltFit,
    SolutionFit,
    SugarFit,
)
from intake.table.identify.water_density import WaterFit
from intake.table.resins import Figure, ResinId


def read_baths() -> BathTable:
    """The bath table; every solute has its correlation, limits and cautions.

    Raises:
        HandbookGap: the file is missing or a row is faulty.
    """
    table = raw_table("baths.toml")
    table.basis(table.data["water"], "baths.toml, water")
    water = WaterFit(**dict(zip(("a1", "a2", "a3", "a4", "a5"), table.data["water"]["a"], strict=True)))
    rows = {s: _bath(table, s, table.data["baths"][s.value], water) for s in Solute}
    limits = {k: table.figure(raw, f"limit {k}") for k, raw in table.data["limits"].items()}
    foams = {ResinId(k): table.figure(raw, f"foam {k}") for k, raw in table.data["foams"].items()}
    table.done()
    return BathTable(rows=rows, foams=foams, **limits)


def _bath(table: RawTable, solute: Solute, raw: Mapping[str, Any], water: WaterFit) -> BathFacts:
    """One kind of bath."""
    if solute is not Solute.WATER:
        table.basis(raw["fit"], f"baths.toml, {solute} fit")
    return BathFacts(
        solute=solute,
        fit=_fit(solute, raw.get("fit", {}), water),
        doubt_g_cm3=table.figure(raw["doubt_g_cm3"], f"{solute} doubt"),
        saturation=_points(table, raw, "saturation", of=solute, x="temp_c", y="mass_fraction"),
        flash=_points(table, raw, "flash", of=solute, x="volume_share", y="flash_c"),
        batch_cm3=float(raw["batch_cm3"]),
        cautions=tuple(raw["cautions"]),
    )


def _points(
    table: RawTable, raw: Mapping[str, Any], name: str, *, of: Solute, x: str, y: str
) -> tuple[tuple[float, Figure], ...]:
    """A curve as points that rise in x; none where the table has none."""
    points = tuple((float(p[x]), table.figure(p[y], f"{of} {name} {p[x]}")) for p in raw.get(name, ()))
    if any(b[0] <= a[0] for a, b in pairwise(points)):
        table.findings.append(
            Finding(where=f"baths.toml, {of} {name}", got=x, expected="points that rise in it")
        )
    return points


def _fit(solute: Solute, raw: Mapping[str, Any], water: WaterFit) -> SolutionFit:
    """The correlation of a solute with its constants."""
    match solute:
        case Solute.WATER:
            return PlainWater(water=water)
        case Solute.SALT:
            c0, c1, c2, c3, c4 = raw["c"]
            return SaltFit(water=water, c=(c0, c1, c2, c3, c4))
        case Solute.SUGAR:
            return SugarFit(water=water, a=tuple(tuple(row) for row in raw["a"]))
        case Solute.ETHANOL:
            return EthanolFit(a=tuple(raw["a"]), b=tuple(raw["b"]), c=tuple(tuple(row) for row in raw["c"]))
        case Solute.ISOPROPANOL:
            return IsopropanolFit(water=water, a=tuple(raw["a"]), b=tuple(raw["b"]))
