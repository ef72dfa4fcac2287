"""Each check alone, on states that the fold itself would never make."""

from dataclasses import replace
from types import MappingProxyType

import pytest
from ledger_story import judged, opened, received

from intake.ledger.checks import CHECKS, circular_parts, misplaced, negative_mass, placed_without_leave
from intake.ledger.state import BinState, ItemState, Part, TableState
from intake.table.compat.decision import Verdict
from intake.table.item import Weighing


def item(name, **more):
    return ItemState(id=name, facts=received(name), since="", **more)


def bin_of(name, *items):
    return BinState(id=name, opened=opened(name), since="", items=items)


def table(*items, bins=()):
    return TableState(
        items=MappingProxyType({i.id: i for i in items}), bins=MappingProxyType({b.id: b for b in bins})
    )


@pytest.mark.parametrize("check", CHECKS.values(), ids=CHECKS)
def test_an_empty_table_and_a_sound_one_have_no_findings(check):
    sound = table(item("a1", bin="B", resin_verdict=judged("a1")), item("a2"), bins=[bin_of("B", "a1")])
    assert list(check(TableState())) == list(check(sound)) == []


@pytest.mark.parametrize(
    ("state", "got"),
    [
        (table(item("a1", bin="B"), bins=[bin_of("B", "a1"), bin_of("C", "a1")]), "in B and C"),
        (table(item("a1"), bins=[bin_of("B", "a1")]), "None at the item, B at the bins"),
        (table(item("a1", bin="B"), bins=[bin_of("B")]), "B at the item, None at the bins"),
    ],
)
def test_an_item_in_two_places_is_found(state, got):
    assert got in [finding.got for finding in misplaced(state)]


@pytest.mark.parametrize("verdict", [Verdict.HOLD, Verdict.REFUSE])
def test_the_placing_verdict_overrides_the_resin_verdict(verdict):
    one = item("a1", bin="B", resin_verdict=judged("a1"), placing_verdict=judged("a1", verdict))
    assert [f.got for f in placed_without_leave(table(one, bins=[bin_of("B", "a1")]))] == [verdict.value]


@pytest.mark.parametrize(
    ("facts", "split_g", "found"),
    [
        ({"gross_g": 10.0, "tare_g": 10.0}, 0.0, 0),
        ({"gross_g": 10.0, "tare_g": 10.1}, 0.0, 1),
        ({"gross_g": 10.0}, 10.5, 0),  # within one step of the scale
        ({"gross_g": 10.0}, 11.5, 1),
        ({"gross_g": 10.0, "weighed": Weighing.AS_RECEIVED}, 11.5, 1),
        ({"gross_g": 10.0, "weighed": Weighing.PREPARED}, 11.5, 0),  # the parts were off the scale
        ({}, 11.5, 0),
    ],
)
def test_a_mass_below_nothing_is_found(facts, split_g, found):
    one = replace(item("a1", parts=(Part(item="c", mass_g=split_g),)), facts=received("a1", **facts))
    assert len(list(negative_mass(table(one)))) == found


@pytest.mark.parametrize("ring", [("a",), ("a", "b"), ("a", "b", "c", "d")])
def test_a_ring_of_parts_is_found_at_each_of_its_members(ring):
    members = [item(name, parent=ring[n - 1]) for n, name in enumerate(ring)]
    outside = item("z", parent=ring[0])
    assert [f.where for f in circular_parts(table(*members, outside))] == [f"Item {name}" for name in ring]
