"""Pieces of evidence that cannot both be right, told with their values; nothing is averaged in silence."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from itertools import combinations
from math import exp, hypot, log

from intake.table.identify.cues import ByResin
from intake.table.identify.evidence import Cue, Density, Evidence, FloatTest, Outcome
from intake.table.identify.likelihood import MarkSays
from intake.table.identify.tables import IdentifyTables
from intake.table.resins import Reason, ResinId

_CLEARLY_APART = 2.0
"""Standard deviations between two readings of one density before they count as contrary."""

_COMMON = 0.01
"""[-] share of the population below which a resin is not held against a mark by looks alone."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Voices:
    """Every piece of evidence with what it says, by judged resin in natural logs; marks by their place."""

    evidence: tuple[Evidence, ...]
    each: tuple[ByResin, ...]
    marks: Mapping[int, MarkSays]


def conflicts(voices: Voices, prior: ByResin, tables: IdentifyTables) -> tuple[Reason, ...]:
    """All conflicts between strong pieces, the most telling first; empty where they agree."""
    if len(voices.evidence) == 0:
        return ()
    found = [
        *_mark_against_tests(voices, tables),
        *_between_readings(voices.evidence),
        *_between_marks(voices.marks),
        *_mark_against_looks(voices, tables),
    ]
    if found or any(said.named for said in voices.marks.values()):
        return tuple(
            found
        )  # a mark that the baths bear out is a second voice: only the kind was a poor guess
    return tuple(_kind_against_floats(voices, prior, tables))


def _mark_against_tests(voices: Voices, tables: IdentifyTables) -> Iterator[Reason]:
    """A resin the mark names fits a bath or a density far worse than the best resin does."""
    for said in voices.marks.values():
        if not said.named:
            continue
        for piece, logs in zip(voices.evidence, voices.each, strict=True):
            if not isinstance(piece, FloatTest | Density) or (said.filled and _reads_heavy(piece)):
                continue
            if _misfits(piece, logs, max(logs[tables.place[r]] for r in said.named), tables):
                yield _against_mark(_names(said.named), piece)


def _misfits(piece: FloatTest | Density, logs: ByResin, named: float, tables: IdentifyTables) -> bool:
    """True where another resin fits far better; hovering is rare for all, so there a slip must be likelier."""
    if isinstance(piece, FloatTest) and piece.outcome is Outcome.HOVERS:
        return named < log(2.0 * tables.cues.float_errors.hovers_though_not)
    return max(logs) - named > log(tables.cues.limits.conflict_ratio)


def _reads_heavy(piece: FloatTest | Density) -> bool:
    """True for a test that a filler, which the mark tells of, explains."""
    return isinstance(piece, Density) or piece.outcome is not Outcome.FLOATS


def _against_mark(mark: str, piece: FloatTest | Density) -> Reason:
    if isinstance(piece, Density):
        return Reason.of("conflict_mark_density", mark=mark, density_g_cm3=piece.density_g_cm3)
    code = {
        Outcome.SINKS: "conflict_mark_denser",
        Outcome.FLOATS: "conflict_mark_lighter",
        Outcome.HOVERS: "conflict_mark_hovers",
    }[piece.outcome]
    return Reason.of(code, mark=mark, bath=piece.bath)


def _between_readings(evidence: Iterable[Evidence]) -> Iterator[Reason]:
    """Two readings of one density that leave no density between them."""
    tests = [e for e in evidence if isinstance(e, FloatTest | Density)]
    for a, b in combinations(tests, 2):
        over, under = (a, b) if _least(a) >= _least(b) else (b, a)
        apart = _least(over) - _most(under)
        if apart > _CLEARLY_APART * hypot(_doubt(a), _doubt(b)):
            yield _contrary(over, under)


def _contrary(over: FloatTest | Density, under: FloatTest | Density) -> Reason:
    """Two readings that cannot both be right, `over` the one that says heavier."""
    if isinstance(over, FloatTest):
        if isinstance(under, FloatTest):
            return Reason.of("conflict_baths", heavy=over.bath, light=under.bath)
        return _bath_against_scale(over, under)
    if isinstance(under, FloatTest):
        return _bath_against_scale(under, over)
    return Reason.of("conflict_densities", heavy_g_cm3=over.density_g_cm3, light_g_cm3=under.density_g_cm3)


def _bath_against_scale(bath: FloatTest, scale: Density) -> Reason:
    return Reason.of(
        "conflict_bath_scale", bath=bath.bath, outcome=bath.outcome.value, density_g_cm3=scale.density_g_cm3
    )


def _least(test: FloatTest | Density) -> float:
    """[g/cm3] the lightest that the piece can be by this reading; 0 where it says nothing."""
    if isinstance(test, Density):
        return test.density_g_cm3
    return 0.0 if test.outcome is Outcome.FLOATS else test.bath_g_cm3


def _most(test: FloatTest | Density) -> float:
    """[g/cm3] the heaviest that the piece can be by this reading; infinite where it says nothing."""
    if isinstance(test, Density):
        return test.density_g_cm3
    return float("inf") if test.outcome is Outcome.SINKS else test.bath_g_cm3


def _doubt(test: FloatTest | Density) -> float:
    return test.sd_g_cm3 if isinstance(test, Density) else test.bath_sd_g_cm3


def _between_marks(marks: Mapping[int, MarkSays]) -> Iterator[Reason]:
    for a, b in combinations([m for m in marks.values() if m.named], 2):
        if not set(a.named) & set(b.named):
            first, second = sorted((_names(a.named), _names(b.named)))
            yield Reason.of("conflict_marks", mark=first, other=second)


def _mark_against_looks(voices: Voices, tables: IdentifyTables) -> Iterator[Reason]:
    """All looks and touches together speak against every resin the mark names."""
    looks = [(e, v) for e, v in zip(voices.evidence, voices.each, strict=True) if isinstance(e, Cue)]
    if not looks:
        return
    total = [sum(column) for column in zip(*(v for _, v in looks), strict=True)]
    common = [k for k, share in enumerate(tables.population) if share >= _COMMON]
    best = max(common, key=total.__getitem__)
    for said in voices.marks.values():
        if not said.named:
            continue
        named = max((tables.place[r] for r in said.named), key=total.__getitem__)
        if total[best] - total[named] > log(tables.cues.limits.cue_conflict_ratio):
            cue, _ = max(looks, key=lambda look: look[1][best] - look[1][named])
            yield Reason.of(
                "conflict_mark_looks",
                mark=_names(said.named),
                resin=tables.resins.judged[best],
                cue=cue.name,
                value=cue.value,
            )


def _kind_against_floats(voices: Voices, prior: ByResin, tables: IdentifyTables) -> Iterator[Reason]:
    """A bath says what this kind of item hardly ever does."""
    gap = log(tables.cues.limits.conflict_ratio)
    for piece, logs in zip(voices.evidence, voices.each, strict=True):
        if not isinstance(piece, FloatTest) or piece.outcome is Outcome.HOVERS:
            continue
        expected = log(sum(exp(p + v) for p, v in zip(prior, logs, strict=True)))
        if max(logs) - expected > gap:
            heavy = piece.outcome is Outcome.SINKS
            yield Reason.of("conflict_kind_denser" if heavy else "conflict_kind_lighter", bath=piece.bath)


def _names(named: Iterable[ResinId]) -> str:
    return " / ".join(named)
