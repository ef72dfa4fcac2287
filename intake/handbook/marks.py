"""`resources/marks.toml` → `MarkTables`."""

from collections.abc import Mapping
from typing import Any

from intake.errors import Finding
from intake.handbook.figures import RawTable, raw_table
from intake.table.identify.evidence import MarkHow
from intake.table.identify.mark_tables import (
    Alias,
    Claim,
    Element,
    FillerMaterial,
    FlameRetardant,
    MarkTables,
    NotPlastic,
    NumberRow,
    Term,
)
from intake.table.resins import OTHER, Figure, ResinId, ResinTable


def read_marks(resins: ResinTable) -> MarkTables:
    """The tables of the marks room; every row owes a basis, every name must lead somewhere.

    Raises:
        HandbookGap: the file is missing or a row is faulty.
    """
    table = raw_table("marks.toml")
    data = table.data
    _bases(table, data, "")
    terms = {key.upper(): _term(key, raw, data["clashes"], resins) for key, raw in data["terms"].items()}
    terms.setdefault(OTHER.upper(), Term(id=OTHER, name=resins.rows[OTHER].name))
    aliases = {
        key: Alias(term=ResinId(raw["term"]), form=raw.get("form", ""), weak=raw.get("weak", False))
        for key, raw in data["aliases"].items()
    }
    fillers = data["fillers"]
    numbers = tuple(_number(raw) for raw in data["numbers"])
    leads = [(f"alias {k}", a.term) for k, a in aliases.items()]
    leads += [(f"{r.standard} {r.number}", t) for r in numbers for t in (r.term, *r.also_terms) if t]
    _must_exist(table, leads, terms)
    read = MarkTables(
        numbers=numbers,
        unassigned=tuple((r["first"], r["last"], r["group"]) for r in data["unassigned"]),
        not_plastic={r["letters"]: _not_plastic(r) for r in data["not_plastic"]},
        terms=terms,
        aliases=aliases,
        fillers={k: _filler(table, k, raw) for k, raw in fillers["materials"].items()},
        forms={k: raw["form"] for k, raw in fillers["forms"].items()},
        elements={k: _element(table, k, raw) for k, raw in fillers["elements"].items()},
        plasticizers={k: raw["name"] for k, raw in data["plasticizers"].items()},
        flame_retardants={int(k): _flame(int(k), raw) for k, raw in data["flame_retardants"].items()},
        halogen_range=(data["halogen_range"]["first"], data["halogen_range"]["last"]),
        claims={k: _claim(raw) for k, raw in data["claims"].items()},
        wider=_wider(data["terms"], resins),
        trust=_shares(table, data["trust"], "trust"),
        trust_how=_shares(table, data["trust_how"], "trust_how"),
    )
    for how in MarkHow:
        if how not in read.trust_how:
            table.findings.append(Finding(where="marks.toml, trust_how", got="", expected=f"a row '{how}'"))
    table.done()
    return read


def _bases(table: RawTable, node: Any, where: str) -> None:
    """Check the basis of every row, however deep it lies (figures are checked where they are read)."""
    if isinstance(node, Mapping):
        if "basis" in node and "low" not in node:
            table.basis(node, f"marks.toml, {where}")
        for key, child in node.items():
            _bases(table, child, f"{where} {key}".strip())
    elif isinstance(node, list):
        for at, child in enumerate(node):
            _bases(table, child, f"{where} {at}")


def _term(key: str, raw: Mapping[str, Any], clashes: Mapping[str, Any], resins: ResinTable) -> Term:
    """One term with what the resin table knows of it."""
    own = resins.rows.get(ResinId(key))
    listed = own.id if own else ResinId(raw.get("of", OTHER))
    return Term(
        id=ResinId(key),
        name=raw["name"],
        listed=listed,
        remelts=raw.get("remelts", True),
        halogen=raw.get("halogen", ""),
        foam=raw.get("foam", False),
        plasticized=raw.get("plasticized", False),
        clashes=clashes.get(key, {}).get("means", ""),
        weak=clashes.get(key, {}).get("weak", False),
        density_g_cm3=resins.rows[listed].density_g_cm3 if listed in resins.rows else None,
    )


def _number(raw: Mapping[str, Any]) -> NumberRow:
    """One number of one list."""
    return NumberRow(
        standard=raw["standard"],
        number=raw["number"],
        term=ResinId(raw["term"]) if "term" in raw else None,
        letters=tuple(raw.get("letters", ())),
        also_terms=tuple(ResinId(t) for t in raw.get("also_terms", ())),
        group=raw.get("group", ""),
        material=raw.get("material", ""),
    )


def _not_plastic(raw: Mapping[str, Any]) -> NotPlastic:
    return NotPlastic(
        letters=raw["letters"], material=raw["material"], group=raw["group"], alone=raw.get("alone", True)
    )


def _filler(table: RawTable, key: str, raw: Mapping[str, Any]) -> FillerMaterial:
    density = raw.get("density_g_cm3")
    figure = table.figure(density, f"filler {key} density") if density else None
    return FillerMaterial(material=raw["material"], density_g_cm3=figure)


def _element(table: RawTable, key: str, raw: Mapping[str, Any]) -> Element:
    density = table.figure(raw["density_g_cm3"], f"element {key} density")
    return Element(symbol=raw["symbol"], name=raw["name"], density_g_cm3=density)


def _flame(code: int, raw: Mapping[str, Any]) -> FlameRetardant:
    return FlameRetardant(code=code, meaning=raw["meaning"], halogen=raw.get("halogen", False))


def _claim(raw: Mapping[str, Any]) -> Claim:
    kind = "plastic" if raw.get("plastic") else "not-plastic" if raw.get("not_plastic") else "unknown"
    return Claim(code=raw["code"], kind=kind)


def _wider(raw: Mapping[str, Any], resins: ResinTable) -> dict[ResinId, ResinId]:
    """The next wider term: as in the resin table, else as the marks table says."""
    wider = {r.id: r.parent for r in resins.rows.values() if r.parent}
    return wider | {ResinId(k): ResinId(v["of"]) for k, v in raw.items() if "of" in v}


def _shares(table: RawTable, raw: Mapping[str, Any], name: str) -> dict[str, Figure]:
    """Figures from 0 to 1 by name."""
    figures = {key: table.figure(value, f"{name} {key}") for key, value in raw.items()}
    for key, f in figures.items():
        if not 0.0 <= f.low <= f.high <= 1.0:
            table.findings.append(
                Finding(where=f"marks.toml, {name} {key}", got=f"{f.low}..{f.high}", expected="0 to 1")
            )
    return figures


def _must_exist(table: RawTable, leads: list[tuple[str, ResinId]], terms: Mapping[str, Term]) -> None:
    """Every term that a row leads to must be in the table of terms."""
    for where, term in leads:
        if term.upper() not in terms:
            table.findings.append(
                Finding(where=f"marks.toml, {where}", got=term, expected="a term of [terms]")
            )
