"""The tables of `resources/`: every figure has a source that exists and a unit that pint knows."""

import re
import tomllib
from collections.abc import Iterator
from typing import Any

import pint
import pytest

from intake.handbook import Handbook
from intake.handbook.figures import RawTable
from intake.handbook.locate import resources
from intake.table.resins import Basis

TABLES = sorted(p.name for p in resources().glob("*.toml"))
UNITS = pint.UnitRegistry()


def _read(name: str) -> dict[str, Any]:
    return tomllib.loads((resources() / name).read_text(encoding="utf-8"))


def _rows(value: Any, path: str = "") -> Iterator[tuple[str, dict[str, Any]]]:
    """Every table of a TOML file, with its path."""
    if isinstance(value, dict):
        yield path, value
        for key, child in value.items():
            yield from _rows(child, f"{path}.{key}" if path else key)
    elif isinstance(value, list):
        for number, child in enumerate(value):
            yield from _rows(child, f"{path}[{number}]")


SOURCES = {k for k, v in _read("sources.toml").items() if isinstance(v, dict)}


def _sources_of(row: dict[str, Any]) -> list[str]:
    found = row.get("source", [])
    return [found] if isinstance(found, str) else list(found)


@pytest.mark.parametrize("name", TABLES)
def test_a_table_has_an_edition(name: str) -> None:
    assert _read(name)["edition"]


@pytest.mark.parametrize("name", [t for t in TABLES if t != "sources.toml"])
def test_every_source_named_exists(name: str) -> None:
    missing = {
        f"{path}: {s}" for path, row in _rows(_read(name)) for s in _sources_of(row) if s and s not in SOURCES
    }
    assert not missing


@pytest.mark.parametrize("name", [t for t in TABLES if t != "sources.toml"])
def test_every_basis_pays_what_it_owes(name: str) -> None:
    owed = []
    for path, row in _rows(_read(name)):
        if not isinstance(row.get("basis"), str):
            continue
        basis = Basis(row["basis"])
        if basis in (Basis.READ, Basis.LIBRARY) and not any(_sources_of(row)):
            owed.append(f"{path}: {basis} without a source")
        if basis is Basis.JUDGEMENT and not row.get("why"):
            owed.append(f"{path}: judgement without a why")
    assert not owed


@pytest.mark.parametrize("name", [t for t in TABLES if t != "sources.toml"])
def test_pint_knows_every_unit(name: str) -> None:
    wrong = []
    for path, row in _rows(_read(name)):
        unit = row.get("unit")
        if not isinstance(unit, str) or "low" not in row:
            continue
        try:
            UNITS.parse_expression(
                re.sub(r"([A-Za-z])(\d)", r"\1**\2", unit) if unit not in ("1", "-") else "1"
            )
        except (pint.errors.PintError, AttributeError, TypeError):
            wrong.append(f"{path}: {unit}")
    assert not wrong


def test_a_source_read_says_what_was_read() -> None:
    silent = [k for k, v in _read("sources.toml").items() if isinstance(v, dict) and v["basis"] == "read"
              and not v.get("what_was_read") and not v.get("url")]  # fmt: skip
    assert not silent


def test_every_table_loads(handbook: Handbook) -> None:
    for name, member in vars(Handbook).items():
        if not name.startswith("_") and not callable(member):
            assert getattr(handbook, name) is not None, name


@pytest.mark.parametrize(
    ("raw", "fault"),
    [
        ({"low": 1, "typical": 2, "high": 3, "basis": "read"}, "a source, which basis read owes"),
        ({"low": 1, "typical": 2, "high": 3, "basis": "judgement"}, "a one-line why"),
        ({"low": 3, "typical": 2, "high": 1, "basis": "memory"}, "low ≤ typical ≤ high"),
        ({"low": 1, "high": 3, "basis": "memory"}, "low, typical and high as numbers"),
        ({"low": 1, "typical": 2, "high": 3, "basis": "hearsay"}, "a basis: read"),
    ],
)
def test_a_faulty_figure_is_found(raw: dict[str, Any], fault: str) -> None:
    table = RawTable(name="x.toml", edition="1", data={})
    table.figure(raw, "row")
    assert any(fault in str(f) for f in table.findings)
