"""How long an item takes to a verdict, when a rule of the house or a fixed list says what to test next."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from simulated_items import SimulatedItem

from intake.table.identify.cues import FILM
from intake.table.identify.evidence import Cue, Evidence
from intake.table.identify.next_test import FLOAT, HANGING, next_tests
from intake.table.identify.odds import Posterior
from intake.table.identify.posterior import judge
from intake.table.identify.tables import IdentifyTables
from intake.table.kinds import Kind
from intake.table.resins import ResinId

ACCEPT_AT, PVC_AT_MOST = 0.90, 0.001
FIXED = ("float:water", "crease", "nail_scratch", "float:alcohol", HANGING)
KIT = frozenset({"water", "alcohol-bath", "kitchen-scale"})
"""What the fixed list needs and not a thing more, so that both have the same table."""

NOTHING_LEFT_BITS = 0.01
"""[bit] a test that promises less is not worth standing up for; the item goes to the hold shelf."""

Chooser = Callable[[Kind, Sequence[Evidence]], str | None]


@dataclass
class Path:
    """One item's way: minutes spent, whether a verdict was reached, and whether it was right."""

    minutes: float
    settled: bool
    right: bool
    tests: int


def settled(posterior: Posterior) -> bool:
    """The stopping rule of both: sure enough, something beside a mark seen, and PVC out of the question or it."""
    pvc = ResinId("PVC")
    sure = posterior.probability >= ACCEPT_AT and posterior.physical
    return sure and (posterior.most_likely == pvc or posterior.probabilities[pvc] <= PVC_AT_MOST)


def minutes_of(test: str, tables: IdentifyTables) -> float:
    if test == HANGING:
        return tables.cues.hanging.effort.minutes
    if test.startswith(FLOAT):
        return tables.cues.baths[test.removeprefix(FLOAT)].effort.minutes
    return tables.cues.cues[test].effort.minutes


def answer(item: SimulatedItem, test: str) -> Evidence | None:
    if test == HANGING:
        return None if FILM in item.kind.flags else item.density
    if test.startswith(FLOAT):
        return item.floats[test.removeprefix(FLOAT)]
    return Cue(name=test, value=item.cues[test]) if test in item.cues else None


def walk(item: SimulatedItem, choose: Chooser, tables: IdentifyTables) -> Path:
    evidence: list[Evidence] = [item.mark] if item.mark is not None else []
    minutes, tests = 0.0, 0
    while True:
        posterior = judge(item.kind, evidence, tables)
        if settled(posterior):
            return Path(minutes, True, posterior.most_likely == item.resin, tests)
        test = choose(item.kind, evidence)
        if test is None:
            return Path(minutes, False, posterior.most_likely == item.resin, tests)
        found = answer(item, test)
        if found is not None:  # a test that cannot be done on this kind costs nothing
            evidence.append(found)
            minutes += minutes_of(test, tables)
            tests += 1


def fixed_order() -> Chooser:
    left = list(FIXED)
    return lambda _kind, _evidence: left.pop(0) if left else None


def best_next(tables: IdentifyTables, only: Sequence[str] | None = None) -> Chooser:
    def choose(kind: Kind, evidence: Sequence[Evidence]) -> str | None:
        for found in next_tests(kind, evidence, tables, kit=KIT):
            if found.bits >= NOTHING_LEFT_BITS and (only is None or found.test in only):
                return found.test
        return None

    return choose
