"""`resources/cues.toml` → `CueTable`: looks, baths, their errors and what they cost."""

import math
from collections.abc import Mapping
from math import log
from typing import Any

from intake.errors import Finding
from intake.handbook.figures import RawTable, raw_table
from intake.spread import mean_of, of_three, sd_of
from intake.table.identify.cues import (
    BathTest,
    CueTable,
    CueTest,
    Effort,
    FloatErrors,
    HangingTest,
    Limits,
    Variant,
)
from intake.table.identify.mark_tables import MarkTables
from intake.table.identify.tables import IdentifyTables
from intake.table.kinds import OTHER_KIND, KindId, KindTable
from intake.table.resins import Figure, ResinId, ResinTable

_PLAIN = "plain"


def read_identify_tables(resins: ResinTable, kinds: KindTable, marks: MarkTables) -> IdentifyTables:
    """The bundle of tables that judging needs; the kind `other` stands for everything people bring.

    Raises:
        HandbookGap: `cues.toml` is missing or a row is faulty.
    """
    prior = kinds.rows[OTHER_KIND].prior
    return IdentifyTables(
        resins=resins,
        marks=marks,
        cues=read_cues(resins, kinds),
        population=tuple(prior[r] for r in resins.judged),
    )


def read_cues(resins: ResinTable, kinds: KindTable) -> CueTable:
    """The cues table; every cue has a row for every judged resin.

    Raises:
        HandbookGap: the file is missing or a row is faulty.
    """
    table = raw_table("cues.toml")
    data = table.data
    model = _typicals(table, "model")
    hanging = data["hanging"]
    found = CueTable(
        cues={k: _cue(table, k, raw, model["smoothing"], resins, kinds) for k, raw in data["cues"].items()},
        baths={
            k: BathTest(id=k, bath_g_cm3=float(raw["bath_g_cm3"]), effort=_effort(table, k, raw))
            for k, raw in data["baths"].items()
        },
        hanging=HangingTest(
            sd_g_cm3=table.figure(hanging["sd_g_cm3"], "hanging, doubt").typical,
            effort=_effort(table, "hanging", hanging),
        ),
        variants=tuple(_variants(table, r, resins) for r in resins.judged),
        float_errors=FloatErrors(**_typicals(table, "float")),
        gross_error=table.figure(data["weighing"]["gross_error"], "weighing").typical,
        within_group=model["within_group"],
        prior_mixing=model["prior_mixing"],
        limits=_limits(table),
        kit=tuple(data["kit"]["items"]),
        usual_kit=frozenset(data["kit"]["usual"]),
    )
    table.done()
    return found


def _typicals(table: RawTable, name: str) -> dict[str, float]:
    """The typical values of all figures of one section."""
    return {k: table.figure(raw, f"{name} {k}").typical for k, raw in table.data[name].items()}


def _effort(table: RawTable, name: str, raw: Mapping[str, Any]) -> Effort:
    """Minutes, kit and cautions of one test; the kit must be one the table knows."""
    kit = frozenset(raw.get("kit", ()))
    for strange in sorted(kit - set(table.data["kit"]["items"])):
        _fault(table, name, strange, "a kit item of [kit]")
    minutes = table.figure(raw["minutes"], f"{name} minutes").typical
    if minutes <= 0.0:
        _fault(table, name, f"{minutes:g} min", "minutes above 0")
    return Effort(
        minutes=minutes, kit=kit, cautions=tuple(raw.get("cautions", ())), heat=bool(raw.get("heat", False))
    )


def _cue(
    table: RawTable, name: str, raw: Mapping[str, Any], smoothing: float, resins: ResinTable, kinds: KindTable
) -> CueTest:
    """One cue; each resin's row sums to 1 and is mixed with `smoothing` of an even row."""
    table.basis(raw, f"{table.name}, {name}")
    levels = tuple(raw["levels"])
    columns = []
    for resin in resins.judged:
        row = [float(x) for x in raw["likelihood"].get(resin, ())]
        if len(row) != len(levels) or min(row) < 0.0 or not math.isclose(sum(row), 1.0, abs_tol=0.005):
            _fault(table, f"{name}, {resin}", str(row), f"{len(levels)} shares that sum to 1")
            row = [1.0 / len(levels)] * len(levels)
        total = sum(row)
        columns.append([(1.0 - smoothing) * x / total + smoothing / len(levels) for x in row])
    chances = {level: tuple(c[k] for c in columns) for k, level in enumerate(levels)}
    for kind in raw.get("skip_kinds", ()):
        if KindId(kind) not in kinds.rows:
            _fault(table, name, kind, "a kind of kinds.toml")
    return CueTest(
        id=name,
        group=raw["group"],
        levels=levels,
        called=_called(table, name, raw, levels),
        chances=chances,
        logs={level: tuple(log(x) for x in row) for level, row in chances.items()},
        on=frozenset(raw["on"]),
        skip_kinds=frozenset(KindId(k) for k in raw.get("skip_kinds", ())),
        effort=_effort(table, name, raw),
    )


def _called(table: RawTable, name: str, raw: Mapping[str, Any], levels: tuple[str, ...]) -> Mapping[str, str]:
    """Shorter words for levels; each must mean one that exists."""
    for word, level in raw.get("called", {}).items():
        if level not in levels:
            _fault(table, f"{name}, {word}", level, f"one of {', '.join(levels)}")
    return dict(raw.get("called", {}))


def _variants(table: RawTable, resin: ResinId, resins: ResinTable) -> tuple[Variant, ...]:
    """The ways one resin comes; what the named ways leave is plain, with the density of `resins.toml`."""
    rows = table.data["density"].get(resin, {})
    named = [
        _variant(
            name,
            table.figure(raw["share"], f"{resin} {name} share").typical,
            table.figure(raw["density_g_cm3"], f"{resin} {name}"),
        )
        for name, raw in rows.items()
        if name != _PLAIN
    ]
    left = 1.0 - sum(v.share for v in named)
    solid = resins.rows[resin].density_g_cm3
    if _PLAIN in rows:
        solid = table.figure(rows[_PLAIN]["density_g_cm3"], f"{resin} {_PLAIN}")
    if left <= 0.0 or solid is None:
        _fault(table, resin, f"{left:g}", "shares below 1 and a plain density")
        return tuple(named)
    return (_variant(_PLAIN, left, solid), *named)


def _variant(name: str, share: float, density: Figure) -> Variant:
    spread = of_three(density.low, density.typical, density.high)
    return Variant(name=name, share=share, mean_g_cm3=mean_of(spread), sd_g_cm3=max(sd_of(spread), 1e-3))


def _limits(table: RawTable) -> Limits:
    conflict, look = table.data["conflict"], table.data["second_look"]
    return Limits(
        conflict_ratio=table.figure(conflict["ratio"], "conflict").typical,
        cue_conflict_ratio=table.figure(conflict["cue_ratio"], "conflict of cues").typical,
        pvc_share=table.figure(look["pvc_share"], "second look").typical,
        mark_ratio=table.figure(look["mark_ratio"], "second look, mark").typical,
        heat_stop={ResinId(r): most for r, most in _typicals(table, "heat_stop").items()},
    )


def _fault(table: RawTable, where: str, got: str, expected: str) -> None:
    table.findings.append(Finding(where=f"{table.name}, {where}", got=got, expected=expected))
