"""`resources/compat.toml` → `Matrix`: every row checked for basis, sources and published shares."""

from collections.abc import Iterable, Mapping
from enum import Enum
from functools import cache
from typing import Any, TypeVar

from intake.errors import Finding
from intake.handbook.figures import RawTable, raw_table, read_toml
from intake.handbook.locate import resources
from intake.table.compat.matrix import ANY, Matrix
from intake.table.compat.rules import Form, GradeRule, PairRule, Published, PublishedKind, Rating
from intake.table.resins import Basis, Reason, ResinId, ResinTable

_E = TypeVar("_E", bound=Enum)


def read_matrix(resins: ResinTable) -> Matrix:
    """The pair rules and grade rules; each row stands for one host and several guests.

    Raises:
        HandbookGap: the file is missing, a row is faulty, or the table as a whole is unsafe.
    """
    table = raw_table("compat.toml")
    usual = {r: table.figure(table.data["tolerated"][r], f"tolerated {r}").typical for r in Rating}
    pairs: dict[tuple[ResinId, ResinId], PairRule] = {}
    for raw in table.data["pair"]:
        for guest in raw["guests"]:
            rule = _pair(table, raw, ResinId(guest), usual)
            if (rule.host, rule.guest) in pairs:
                table.findings.append(_finding(raw, guest, "one row for each pair"))
            pairs[rule.host, rule.guest] = rule
    for name in ("good_elsewhere", "unpigmented"):
        table.basis(table.data[name], f"compat.toml, {name}")
    grades = tuple(_grade(table, raw, usual) for raw in table.data["grade"])
    table.done()
    return Matrix(
        pairs=pairs, grades=grades, resins=resins,
        materials=tuple(ResinId(m) for m in table.data["materials"]),
        good_elsewhere=frozenset(ResinId(r) for r in table.data["good_elsewhere"]["resins"]),
        unpigmented=frozenset(c.casefold() for c in table.data["unpigmented"]["colours"]),
    )  # fmt: skip


def checked_sources(table: RawTable, raw: Mapping[str, Any], at: str) -> tuple[tuple[str, ...], Basis]:
    """The sources and the basis of a row; a source that `sources.toml` does not hold is a fault."""
    sources = tuple(str(s) for s in raw.get("source", ()))
    basis = table.basis({**raw, "source": ", ".join(sources)}, at)
    must_exist(table, sources, at)
    return sources, basis


def must_exist(table: RawTable, sources: Iterable[str], at: str) -> None:
    """Note every source key that `sources.toml` does not hold."""
    for source in sources:
        if source not in _works():
            table.findings.append(Finding(where=at, got=source, expected="a key of sources.toml"))


@cache
def _works() -> frozenset[str]:
    """The keys of `sources.toml`."""
    return frozenset(read_toml(resources() / "sources.toml"))


def one_of(table: RawTable, kind: type[_E], value: object, at: str) -> _E:
    """The member of an enumeration that `value` names; a fault and the last member where there is none."""
    try:
        return kind(value)
    except ValueError:
        known = ", ".join(str(m.value) for m in kind)
        table.findings.append(Finding(where=at, got=str(value), expected=f"one of {known}"))
        return list(kind)[-1]


def _finding(raw: Mapping[str, Any], guest: str, expected: str) -> Finding:
    return Finding(where="compat.toml", got=f"{guest} in {raw.get('host', '')}", expected=expected)


def _pair(table: RawTable, raw: Mapping[str, Any], guest: ResinId, usual: Mapping[Rating, float]) -> PairRule:
    host = ResinId(raw["host"])
    at = f"compat.toml, {guest} in {host}"
    sources, basis = checked_sources(table, raw, at)
    rating = one_of(table, Rating, raw["rating"], at)
    rule = PairRule(
        host=host, guest=guest, rating=rating, tolerated_share=_share(table, raw, usual[rating], at),
        reasons=tuple(Reason.of(r, host=host, guest=guest) for r in raw["reasons"]),
        hazards=tuple(raw.get("hazards", ())), sources=sources, basis=basis, why=raw.get("why", ""),
        published=_published(table, raw, at),
    )  # fmt: skip
    _within_published(table, rule.tolerated_share, rule.published, rule.why, at)
    if rating is Rating.HAZARD and not rule.hazards:
        table.findings.append(Finding(where=at, got="", expected="what it gives off, which a hazard owes"))
    if ANY in (host, guest) and rule.published:
        table.findings.append(Finding(where=at, got="published", expected="a row for one pair"))
    return rule


def _grade(table: RawTable, raw: Mapping[str, Any], usual: Mapping[Rating, float]) -> GradeRule:
    at = f"compat.toml, grade {', '.join(raw['guest_forms'])} in {', '.join(raw['host_forms'])}"
    sources, basis = checked_sources(table, raw, at)
    rating = one_of(table, Rating, raw["rating"], at)
    rule = GradeRule(
        resins=frozenset(ResinId(r) for r in raw["resins"]),
        host_forms=frozenset(one_of(table, Form, f, at) for f in raw["host_forms"]),
        guest_forms=frozenset(one_of(table, Form, f, at) for f in raw["guest_forms"]),
        rating=rating, tolerated_share=_share(table, raw, usual[rating], at),
        reasons=tuple(Reason.of(r) for r in raw["reasons"]), sources=sources, basis=basis,
        why=raw.get("why", ""), published=_published(table, raw, at),
    )  # fmt: skip
    _within_published(table, rule.tolerated_share, rule.published, rule.why, at)
    return rule


def _share(table: RawTable, raw: Mapping[str, Any], usual: float, at: str) -> float:
    """[-] The row's tolerated share, the rating's usual one where it has none; another one owes a why."""
    share = raw.get("tolerated_share", usual)
    if isinstance(share, bool) or not isinstance(share, int | float) or not 0.0 <= share <= 1.0:
        table.findings.append(Finding(where=at, got=str(share), expected="a tolerated share from 0 to 1"))
        return 0.0
    if share != usual and not raw.get("why"):
        expected = f"a one-line why, since the usual share is {usual:g}"
        table.findings.append(Finding(where=at, got=f"{share:g}", expected=expected))
    return float(share)


def _published(table: RawTable, raw: Mapping[str, Any], at: str) -> tuple[Published, ...]:
    found = tuple(
        Published(
            fact=p["fact"], kind=one_of(table, PublishedKind, p["kind"], at),
            value=float(p["value"]) if "value" in p else None, source=p["source"],
        )
        for p in raw.get("published", ())
    )  # fmt: skip
    must_exist(table, (p.source for p in found), at)
    return found


def _within_published(
    table: RawTable, share: float, published: Iterable[Published], why: str, at: str
) -> None:
    """Our share must not pass the lowest published limit, unless the row says why."""
    ceilings = [p.value for p in published if p.kind.is_ceiling and p.value is not None]
    if ceilings and share > min(ceilings) and not why:
        expected = f"at most {min(ceilings):g}, the lowest published limit, or a why"
        table.findings.append(Finding(where=at, got=f"{share:g}", expected=expected))
