"""The hold shelf: every held item with its tag, its age, why it waits, and the one thing that would settle it."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from math import ceil
from types import MappingProxyType

from intake.desk import clock
from intake.desk.decide import LEAST_BITS
from intake.desk.desk import Desk, Numbers
from intake.ledger.envelope import Event, wall_ms
from intake.ledger.events import Judged
from intake.ledger.state import ItemState
from intake.table.compat.decision import Verdict
from intake.table.identify.evidence import Cue, Evidence, FloatTest, Outcome
from intake.table.identify.next_test import FLOAT, HANGING, NextTest
from intake.table.resins import Reason, ResinId

_MS_PER_DAY = 86_400_000
_LIKELIER_THAN_NOT = 0.5
_CANDIDATES = 5
"""Tests that are tried out in thought; those further down tell much less a minute."""

_SETTLED_BY = (
    ("residue_edible_oil", "hold_wash_twice"),
    ("kind_old_pigments", "hold_find_age"),
    ("resin_filled", "hold_filled"),
)
"""Reason to hold → what settles it, where no test of the resin does."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Settle:
    """The one thing that would settle a held item.

    Attributes:
        test: id of a test as `NextTest` names it; empty where it is no test.
        alone: True where that test alone settles it more likely than not; False where it is the first of several.
        reason: what to do, as a sentence.
    """

    test: str
    alone: bool
    reason: Reason


@dataclass(frozen=True, slots=True, kw_only=True)
class HoldTag:
    """One item on the hold shelf; the tag that hangs on it says the same.

    Attributes:
        item: its id, written on the tag.
        kind: plain name of its kind.
        count: pieces.
        colour: as a person said it.
        since_ms: [ms] since 1970, when it was put on hold.
        days: whole days it has waited.
        resin: the most likely one, and the [-] probability of that.
        probability: see `resin`.
        reasons: why it waits, as it was told.
        settle: what would settle it.
    """

    item: str
    kind: str
    count: int
    colour: str
    since_ms: int
    days: int
    resin: str
    probability: float
    reasons: tuple[Reason, ...]
    settle: Settle


def hold_shelf(desk: Desk) -> tuple[HoldTag, ...]:
    """All held items, the one that waits longest first."""
    found: dict[object, Settle] = {}
    now_ms = clock.now_ms()
    return tuple(
        _tag(desk, desk.state.items[item], since, found, now_ms) for item, since in held_since(desk).items()
    )


def held_since(desk: Desk) -> Mapping[str, int]:
    """Held item → [ms] since 1970 when it was put on hold; the one that waits longest first."""
    held = tuple(desk.with_verdict(Verdict.HOLD))
    told = desk.ledger.events_named({e for item in held for e in item.history})
    moments = {e.id: e for e in told if isinstance(e.body, Judged)}
    waits = sorted((wall_ms(_held_since(item, moments)), item.id) for item in held)
    return MappingProxyType({item: since for since, item in waits})


def settles(desk: Desk, known: Numbers, told: Judged) -> Settle:
    """What would settle a held item: washing, its age, or the test that does most a minute.

    A test that will probably settle it by itself goes before one that only helps; among those, the one that
    tells most a minute.
    """
    for code, answer in _SETTLED_BY:
        if any(r.code == code for r in told.reasons):
            return Settle(test="", alone=True, reason=Reason.of(answer))
    left = desk.tools.next_tests(known.item.kind, known.state.evidence)
    telling = [t for t in left if t.bits >= LEAST_BITS and t.test != HANGING][:_CANDIDATES]
    if not telling:
        return Settle(test="", alone=False, reason=Reason.of("hold_no_test"))
    alone = next((t for t in telling if _settles_alone(desk, known, t)), None)
    best = alone or telling[0]
    code = "hold_one_test" if alone else "hold_first_test"
    return Settle(test=best.test, alone=alone is not None, reason=Reason.of(code, minutes=ceil(best.minutes)))


def settled_by(desk: Desk, items: Iterable[ItemState]) -> Mapping[str, Settle]:
    """Held item → what would settle it."""
    found: dict[object, Settle] = {}
    return MappingProxyType({item.id: _settle(desk, item, found) for item in items})


def _settle(desk: Desk, state: ItemState, found: dict[object, Settle]) -> Settle:
    """What would settle one held item; like items with like evidence are thought about once."""
    told, known = _told(state), desk.numbers(state.id)
    like = (known.item.kind.id, known.item.residue, known.item.colour, state.evidence, told.reasons)
    if like not in found:
        found[like] = settles(desk, known, told)
    return found[like]


def _told(state: ItemState) -> Judged:
    """The verdict that holds an item."""
    told = state.placing_verdict or state.resin_verdict
    if told is None:
        raise ValueError("an item on hold was judged")
    return told


def _tag(desk: Desk, state: ItemState, since_ms: int, found: dict[object, Settle], now_ms: int) -> HoldTag:
    """The tag of one held item."""
    told, known = _told(state), desk.numbers(state.id)
    return HoldTag(
        item=state.id,
        kind=known.item.kind.names[0],
        count=state.facts.count,
        colour=state.facts.colour,
        since_ms=since_ms,
        days=max(now_ms - since_ms, 0) // _MS_PER_DAY,
        resin=told.resin,
        probability=told.probability,
        reasons=told.reasons,
        settle=_settle(desk, state, found),
    )


def _held_since(state: ItemState, moments: Mapping[str, Event]) -> str:
    """Hybrid time of the verdict that put it on the shelf: the first of the holds that still stand."""
    since: str | None = None
    for event in (moments[e] for e in state.history if e in moments):
        held = isinstance(event.body, Judged) and event.body.verdict is Verdict.HOLD
        since = (since or event.hlc) if held else None
    return since or state.since


def _settles_alone(desk: Desk, known: Numbers, test: NextTest) -> bool:
    """True where the result of the test is likelier than not to end the hold."""
    settled = 0.0
    for result, chance in _results(desk, known, test):
        odds = desk.tools.odds(known.item, (*known.state.evidence, result))
        if desk.tools.worth_cleaning(known.item, odds).verdict is not Verdict.HOLD:
            settled += chance
    return settled >= _LIKELIER_THAN_NOT


def _results(desk: Desk, known: Numbers, test: NextTest) -> Iterator[tuple[Evidence, float]]:
    """What a test could show, each with its chance [-] as the odds stand; in a bath by the usual densities."""
    tables, odds = desk.handbook.identify, known.odds.probabilities
    if test.test.startswith(FLOAT):
        bath = tables.cues.baths[test.test.removeprefix(FLOAT)]
        floats = FloatTest(bath=bath.id, bath_g_cm3=bath.bath_g_cm3, outcome=Outcome.FLOATS)
        chance = sum(p for r, p in odds.items() if _lighter(desk, r, bath.bath_g_cm3))
        yield from ((floats, chance), (replace(floats, outcome=Outcome.SINKS), 1.0 - chance))
    else:
        cue = tables.cues.cues[test.test]
        for level in cue.levels:
            chance = sum(odds[r] * cue.chances[level][place] for r, place in tables.place.items())
            yield Cue(name=test.test, value=level), chance


def _lighter(desk: Desk, resin: ResinId, bath_g_cm3: float) -> bool:
    """True where a resin is usually lighter than the bath."""
    density = desk.handbook.resins.rows[resin].density_g_cm3
    return density is not None and density.typical < bath_g_cm3
