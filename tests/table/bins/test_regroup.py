"""Regrouping: fewest bins, least colour spread, no limit broken; small cases against every grouping there is."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from intake.spread import doubtful
from intake.table.bins.budget import Entry, content_of
from intake.table.bins.colour import GroupId, Lab
from intake.table.bins.key import BinKey
from intake.table.bins.placing import Limits, breaks, fullness
from intake.table.bins.regroup import EXACT_UP_TO, Group, Piece, colour_spread, propose
from intake.table.kinds import Flow
from intake.table.resins import ResinId

HOST = ResinId("PE-HD")
KEY = BinKey(resin=HOST, colour=GroupId("blue"), flow=Flow.BLOW)
PALE, DARK = Lab(lightness=75.0, a=-5.0, b=-20.0), Lab(lightness=30.0, a=5.0, b=-35.0)


def limits(**more):
    named = {"capacity_g": 1000.0, "capacity_l": 60.0, "planned_mass_g": 500.0, **more}
    return Limits(host=HOST, tolerances={"PP": 0.05}, tolerance_else=0.005, **named)


def piece(item, bin_id, volume_l=10.0, colour=None, key=KEY, pp=0.0, mass_g=60.0):
    entry = Entry(mass_g=doubtful(mass_g, 1.0), chances={"PE-HD": 1.0 - pp, "PP": pp})
    return Piece(item=item, bin=bin_id, key=key, entry=entry, volume_l=volume_l, colour=colour)


def proposed(pieces, **more):
    return propose(pieces, {HOST: limits(**more)}, {p.bin: p.key for p in pieces})


def lie_after(pieces, found):
    """Bin → its pieces, as the proposal leaves them."""
    to = {s.item: s.to or f"new {s.new}" for s in found.shifts}
    bins = {}
    for one in pieces:
        bins.setdefault(to.get(one.item, one.bin), []).append(one)
    return bins


def test_two_half_empty_bins_become_one():
    found = proposed([piece("a", "1"), piece("b", "2"), piece("c", "2")])
    assert (found.bins_before, found.bins_after, found.proved) == (2, 1, True)
    assert [(s.item, s.to) for s in found.shifts] == [("a", "2")]


def test_colours_that_differ_are_drawn_apart_where_that_costs_no_bin():
    pieces = [
        piece("a", "1", 25.0, PALE), piece("b", "1", 25.0, DARK), piece("c", "2", 25.0, PALE),
        piece("d", "2", 25.0, DARK),
    ]  # fmt: skip
    found = proposed(pieces)
    assert found.bins_after == 2
    assert found.spread_after == pytest.approx(0.0)
    assert found.spread_before > 10
    assert len(found.shifts) == 2


def test_what_lies_well_is_left_alone():
    found = proposed([piece("a", "1", 40.0), piece("b", "2", 40.0)])
    assert found.shifts == ()
    assert found.bins_after == 2


@pytest.mark.parametrize("other", [{"colour": GroupId("white")}, {"flow": Flow.INJECTION}, {"filled": True}])
def test_what_is_not_alike_is_never_put_together(other):
    named = {"resin": HOST, "colour": KEY.colour, "flow": KEY.flow, "filled": False, **other}
    found = proposed([piece("a", "1", 1.0), piece("b", "2", 1.0, key=BinKey(**named))])
    assert found.shifts == ()


def test_a_content_that_broke_a_limit_is_spread_over_more_bins():
    found = proposed([piece("a", "1", 50.0), piece("b", "1", 50.0)])
    assert (found.bins_before, found.bins_after) == (1, 2)
    assert found.new_keys == {1: KEY}


def test_doubtful_pieces_are_not_heaped():
    """Two rows that may be PP fit alone and not together: fewer bins would break the limit."""
    pieces = [piece("a", "1", 5.0, pp=0.04), piece("b", "2", 5.0, pp=0.04)]
    assert breaks(content_of(p.entry for p in pieces), limits()) is not None
    assert proposed(pieces).shifts == ()


SOME = st.lists(
    st.tuples(st.floats(1, 45), st.sampled_from([None, PALE, DARK]), st.integers(1, 4)), min_size=1, max_size=14
)  # fmt: skip


@settings(max_examples=40, deadline=None)
@given(given_=SOME)
def test_nothing_is_lost_no_limit_is_broken_and_never_more_bins(given_):
    pieces = [piece(f"i{n}", f"{b}", v, c) for n, (v, c, b) in enumerate(given_)]
    found = proposed(pieces)
    bins = lie_after(pieces, found)
    assert sorted(p.item for own in bins.values() for p in own) == sorted(p.item for p in pieces)
    assert len(bins) == found.bins_after
    for own in bins.values():
        volume_l, mass_g = sum(p.volume_l for p in own), sum(p.mass_g for p in own)
        assert len(own) == 1 or fullness(mass_g, volume_l, limits()) <= 1.0 + 1e-9
    before = lie_after(pieces, proposed([]))
    fitted = all(fullness(0.0, sum(p.volume_l for p in own), limits()) <= 1.0 for own in before.values())
    if fitted:
        assert found.bins_after <= found.bins_before


def fewest(volumes):
    """Fewest bins by trying every way to put each into an old or a new bin."""

    def go(left, bins):
        if not left:
            return len(bins)
        options = [go(left[1:], [*bins, left[0]])]
        for i, filled in enumerate(bins):
            if filled + left[0] <= 60.0:
                options.append(go(left[1:], [*bins[:i], filled + left[0], *bins[i + 1 :]]))
        return min(options)

    return go(list(volumes), [])


@settings(max_examples=25, deadline=None)
@given(volumes=st.lists(st.integers(1, 59), min_size=1, max_size=EXACT_UP_TO))
def test_small_tables_get_the_fewest_bins_there_can_be(volumes):
    found = proposed([piece(f"i{n}", f"{n}", float(v)) for n, v in enumerate(volumes)])
    assert found.bins_after == fewest(volumes)
    assert found.proved


@settings(max_examples=15, deadline=None)
@given(volumes=st.lists(st.integers(1, 59), min_size=8, max_size=9))
def test_larger_tables_say_so_when_they_cannot_prove_it(volumes):
    found = proposed([piece(f"i{n}", f"{n}", float(v)) for n, v in enumerate(volumes)])
    best = fewest(volumes)
    assert best <= found.bins_after <= best + 1
    assert not found.proved or found.bins_after == best


def test_the_spread_of_one_colour_is_nothing():
    assert (
        colour_spread([Group(key=KEY, pieces=(piece("a", "1", colour=PALE), piece("b", "1", colour=PALE)))])
        == 0
    )
    assert colour_spread([Group(key=KEY, pieces=(piece("a", "1"),))]) == 0
