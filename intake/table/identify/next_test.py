"""Which safe test the table can do tells most about the resin per minute."""

from bisect import bisect_left
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import accumulate, pairwise
from math import exp, log, sqrt
from operator import mul

from intake.table.identify.cues import FILM, BathTest, ByResin, CueTest, Effort
from intake.table.identify.density_map import DENSEST_G_CM3, LIGHTEST_G_CM3
from intake.table.identify.density_tests import heard, likelihoods, product
from intake.table.identify.evidence import Cue, Density, Evidence, FloatTest, Outcome
from intake.table.identify.posterior import Parts, entropy_bits, gather, normalised
from intake.table.identify.tables import IdentifyTables
from intake.table.kinds import Kind

HANGING = "density"
"""Id of weighing a piece hanging in water."""

FLOAT = "float:"
"""What the id of a float test starts with; the bath's name follows."""

_SAME_BATH_G_CM3 = 0.004
_STEP_G_CM3, _FROM_G_CM3, _TO_G_CM3 = 0.01, 0.85, 1.6
_NODES = ((-sqrt(3.0), 1.0 / 6.0), (0.0, 2.0 / 3.0), (sqrt(3.0), 1.0 / 6.0))
"""Three-point Gauss-Hermite rule for a normal error."""


@dataclass(frozen=True, slots=True, kw_only=True)
class NextTest:
    """A test that was not made yet.

    Attributes:
        test: id: a cue, `float:` with a bath, or `density`.
        bits: [bit] information about the resin to be expected from it, >= 0.
        minutes: [min] what it costs.
        cautions: ids of the cautions to show before it.
    """

    test: str
    bits: float
    minutes: float
    cautions: tuple[str, ...] = ()

    @property
    def bits_per_minute(self) -> float:
        """[bit/min] What the ranking goes by."""
        return self.bits / self.minutes


def next_tests(
    kind: Kind,
    evidence: Sequence[Evidence],
    tables: IdentifyTables,
    *,
    kit: frozenset[str] | None = None,
    hot: bool = False,
) -> tuple[NextTest, ...]:
    """The tests not made yet, the most telling per minute first.

    Args:
        kind: what the item is; a cue that does not suit it is left out.
        evidence: what was observed so far.
        tables: the room's tables.
        kit: ids of what stands on the table; None: what a table usually has.
        hot: the campaign allows a flame or a hot needle. Even then nothing hot is proposed while PVC, ABS,
            foam or a fluoropolymer is suspected.

    Raises:
        BadInput: as in `judge`.
    """
    parts = gather(kind, evidence, tables)
    chances = normalised(
        [p + s + d for p, s, d in zip(parts.prior, parts.spoken, parts.physical, strict=True)]
    )
    have = tables.cues.usual_kit if kit is None else kit
    allowed = hot and not _suspect(chances, tables)
    now = entropy_bits(chances)
    found = [
        NextTest(test=test, bits=max(now - after, 0.0), minutes=effort.minutes, cautions=effort.cautions)
        for test, effort, after in _expected(kind, evidence, parts, chances, tables)
        if effort.kit <= have and (allowed or not effort.heat)
    ]
    return tuple(sorted(found, key=lambda t: (-t.bits_per_minute, t.test)))


def _expected(
    kind: Kind, evidence: Sequence[Evidence], parts: Parts, chances: ByResin, tables: IdentifyTables
) -> Iterator[tuple[str, Effort, float]]:
    """Every untaken test with its effort and the entropy [bit] expected after it."""
    done = {e.name for e in evidence if isinstance(e, Cue)}
    baths = [e for e in evidence if isinstance(e, FloatTest)]
    for cue in tables.cues.cues.values():
        if cue.id not in done and cue.applies(kind):
            yield cue.id, cue.effort, _after_cue(cue, parts, chances, tables.cues.within_group)
    for bath in tables.cues.baths.values():
        if not any(abs(b.bath_g_cm3 - bath.bath_g_cm3) < _SAME_BATH_G_CM3 for b in baths):
            yield FLOAT + bath.id, bath.effort, _after_bath(bath, parts, chances, tables)
    if FILM not in kind.flags and not any(isinstance(e, Density) for e in evidence):
        yield HANGING, tables.cues.hanging.effort, _after_hanging(parts, chances, tables)


def _suspect(chances: ByResin, tables: IdentifyTables) -> bool:
    """True where a resin that must not meet heat is likelier than its limit."""
    return any(chances[tables.place[r]] > most for r, most in tables.cues.limits.heat_stop.items())


def _after_cue(cue: CueTest, parts: Parts, chances: ByResin, within_group: float) -> float:
    """[bit] Expected entropy after a cue; a second cue of a group weakens the first as it does in `judge`."""
    count, told = parts.groups.get(cue.group, (0, (0.0,) * len(chances)))
    new = 1.0 if count == 0 else within_group
    old = within_group - 1.0 if count == 1 else 0.0
    after = 0.0
    for level in cue.levels:
        predicted = sum(map(mul, chances, cue.chances[level]))
        weights = [p * exp(new * x + old * t) for p, x, t in zip(chances, cue.logs[level], told, strict=True)]
        after += predicted * _entropy_of(weights)
    return after


def _after_bath(bath: BathTest, parts: Parts, chances: ByResin, tables: IdentifyTables) -> float:
    """[bit] Expected entropy after a float test, given every density seen before."""
    before = likelihoods(parts.whole, tables.ladder)
    by_outcome = []
    for outcome in (Outcome.FLOATS, Outcome.SINKS):
        test = FloatTest(
            bath=bath.id,
            bath_g_cm3=bath.bath_g_cm3,
            bath_sd_g_cm3=tables.cues.float_errors.bath_sd_g_cm3,
            outcome=outcome,
        )
        reading = heard(test, tables.ladder, tables.cues).seen
        both = likelihoods(product((*parts.readings, reading), len(tables.ladder.middles)), tables.ladder)
        by_outcome.append([a / b for a, b in zip(both, before, strict=True)])
    floats, sinks = by_outcome
    hovers = [max(1.0 - f - s, 0.0) for f, s in zip(floats, sinks, strict=True)]
    return _expected_entropy(chances, (floats, sinks, hovers))


def _after_hanging(parts: Parts, chances: ByResin, tables: IdentifyTables) -> float:
    """[bit] Expected entropy after a measured density, its value read in steps of 0.01 g/cm3."""
    ladder, gross = tables.ladder, tables.cues.gross_error
    likely = parts.whole.along()
    edges = [_FROM_G_CM3 + k * _STEP_G_CM3 for k in range(round((_TO_G_CM3 - _FROM_G_CM3) / _STEP_G_CM3) + 1)]
    sd = tables.cues.hanging.sd_g_cm3
    cuts = [[bisect_left(ladder.middles, e + z * sd) for z, _ in _NODES] for e in edges]
    spread = [w for _, w in _NODES]
    ends = (LIGHTEST_G_CM3, *edges, DENSEST_G_CM3)
    blind = [gross * (b - a) / (DENSEST_G_CM3 - LIGHTEST_G_CM3) for a, b in pairwise(ends)]
    columns = []
    for shares in ladder.shares:
        sums = list(accumulate(map(mul, shares, likely), initial=0.0))
        total = sums[-1]
        under = [
            0.0,
            *(sum(w * sums[c] for c, w in zip(cut, spread, strict=True)) / total for cut in cuts),
            1.0,
        ]
        columns.append(
            [max(b - a, 0.0) * (1.0 - gross) + e for (a, b), e in zip(pairwise(under), blind, strict=True)]
        )
    return _expected_entropy(chances, zip(*columns, strict=True))


def _expected_entropy(chances: ByResin, outcomes: Iterable[Sequence[float]]) -> float:
    """[bit] Expected entropy over outcomes, each given as P(outcome | resin)."""
    after = 0.0
    for outcome in outcomes:
        weights = list(map(mul, chances, outcome))
        after += sum(weights) * _entropy_of(weights)
    return after


def _entropy_of(weights: Sequence[float]) -> float:
    """[bit] Entropy of weights that need not sum to 1."""
    total = sum(weights)
    if total <= 0.0:
        return 0.0
    return max((log(total) - sum(w * log(w) for w in weights if w > 0.0) / total) / log(2.0), 0.0)
