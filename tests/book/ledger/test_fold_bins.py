"""Bins become lots: what the fold makes of it, in whatever order, and what does not fit."""

import random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from ledger_story import BODIES, OTHER, STATION, judged, melted, opened, received, shredded

from intake.errors import BadInput
from intake.ledger import fold
from intake.ledger.checks import state_findings
from intake.ledger.envelope import GENESIS, Event, event_id, ticks
from intake.ledger.events import (
    BinMerged,
    BinRelabelled,
    BinSplit,
    Drawn,
    Floated,
    LotAdjusted,
    Move,
    Placed,
    Regrouped,
    TakenBack,
    Undone,
    WrittenOff,
)
from intake.table.compat.decision import Verdict


def told(*bodies, station=STATION, start=0):
    """The bodies as events of one station, a tick apart."""
    hlcs = ticks("", 1_795_599_660_000 + start)
    return [
        Event(
            v=1, station=station, seq=n, hlc=next(hlcs), id=event_id(station, n), kind=type(b).__name__, body=b,
            prev=GENESIS,
        )
        for n, b in enumerate(bodies, 1)
    ]  # fmt: skip


def placed(*items, bin_id="QT-01"):
    return [b for i in items for b in (received(i, gross_g=60.0), judged(i), Placed(item=i, bin=bin_id))]


FILLED = (opened(), *placed("a1", "a2"))


def state_of(*bodies):
    return fold(told(*bodies))


def test_a_shredded_bin_is_closed_and_its_items_are_the_lot():
    state = state_of(*FILLED, shredded(mass_g=115.0))
    lot = state.lots["QT-L01"]
    assert (lot.bin, lot.items, lot.mass_g, lot.left_g) == ("QT-01", ("a1", "a2"), 115.0, 115.0)
    assert state.bins["QT-01"].closed
    assert state.bins["QT-01"].items == ()
    assert [(state.items[i].bin, state.items[i].lot) for i in ("a1", "a2")] == [(None, "QT-L01")] * 2
    assert state_findings(state) == ()


def test_a_lot_goes_down_step_by_step_and_its_mass_adds_up():
    state = state_of(
        *FILLED, shredded(mass_g=115.0),
        Floated(lot="QT-L01", bath="water", bath_g_cm3=0.998, sinkers_g=2.5),
        Drawn(lot="QT-L01", charge="slat", mass_g=50.0),
        LotAdjusted(lot="QT-L01", mass_g=61.0), WrittenOff(lot="QT-L01", reason="spilled", mass_g=1.0),
        melted(), Drawn(lot="QT-L01", charge="slat", mass_g=60.0),
    )  # fmt: skip
    lot = state.lots["QT-L01"]
    assert (lot.floated_g, lot.drawn_g, lot.written_off_g, lot.adjusted_g, lot.left_g) == (
        2.5,
        110,
        1,
        1.5,
        0,
    )
    assert lot.verdict is Verdict.ACCEPT
    assert len(lot.history) == 7
    assert state_findings(state) == ()


@pytest.mark.parametrize(
    ("body", "sentence"),
    [
        (Placed(item="a3", bin="QT-01"), "neither shredded nor written off"),
        (Placed(item="a1", bin="QT-02"), "neither shredded nor written off"),
        (TakenBack(item="a1", bin="QT-01"), "lies in that bin"),
        (shredded(lot="QT-L02"), "neither shredded nor written off"),
        (BinMerged(bin="QT-01", into="QT-02"), "neither shredded nor written off"),
        (BinMerged(bin="QT-02", into="QT-02"), "two bins"),
        (BinSplit(bin="QT-02", into="QT-03", items=("a1",)), "lies in QT-02"),
        (BinRelabelled(bin="QT-01", colour="mixed"), "neither shredded nor written off"),
        (Regrouped(moves=(Move(item="a1", bin="QT-02"),)), "lies in a bin"),
        (WrittenOff(bin="QT-01", reason="x"), "neither shredded nor written off"),
        (Drawn(lot="QT-L09", charge="slat", mass_g=1.0), "a lot that was shredded before"),
        (Drawn(lot="QT-L01", charge="slat", mass_g=300.0), "no more than the 115 g"),
        (shredded("QT-02", lot="QT-L01"), "an id that no lot has yet"),
    ],
)
def test_what_does_not_fit_is_told_and_changes_no_mass(body, sentence):
    state = state_of(*FILLED, opened("QT-02"), received("a3"), judged("a3"), shredded(mass_g=115.0), body)
    assert any(sentence in str(t) for t in state.troubles)
    assert state.lots["QT-L01"].left_g in (0.0, 115.0)
    assert all("lot" not in f.where.lower() for f in state_findings(state) if f not in state.troubles)


def test_undoing_the_shredding_puts_everything_back_into_the_bin():
    events = told(*FILLED, shredded())
    undone = told(*FILLED, shredded(), Undone(event=events[-1].id))
    state = fold(undone)
    assert state.lots == {}
    assert state.bins["QT-01"].items == ("a1", "a2")
    assert not state.bins["QT-01"].closed


def test_split_and_merge_move_items_and_close_nothing():
    split = state_of(*FILLED, BinSplit(bin="QT-01", into="QT-02", items=("a2",)))
    assert (split.bins["QT-01"].items, split.bins["QT-02"].items) == (("a1",), ("a2",))
    assert split.bins["QT-02"].opened.colour == split.bins["QT-01"].opened.colour
    merged = state_of(
        *FILLED, BinSplit(bin="QT-01", into="QT-02", items=("a2",)), BinMerged(bin="QT-02", into="QT-01")
    )
    assert merged.bins["QT-01"].items == ("a1", "a2")
    assert not merged.bins["QT-02"].closed


def test_a_relabelled_bin_takes_what_its_new_tag_says_and_nothing_else_changes():
    before, after = state_of(*FILLED), state_of(*FILLED, BinRelabelled(bin="QT-01", colour="mixed"))
    assert after.bins["QT-01"].opened.colour == "mixed"
    assert after.bins["QT-01"].opened.resin == before.bins["QT-01"].opened.resin
    assert after.bins["QT-01"].items == before.bins["QT-01"].items


def test_a_bin_that_is_written_off_takes_its_items_along():
    state = state_of(*FILLED, WrittenOff(bin="QT-01", reason="wet"))
    assert state.bins["QT-01"].written_off == "wet"
    assert state.items["a1"].written_off == "wet"
    assert state.items["a1"].bin is None
    assert state_findings(state) == ()


def test_two_tables_that_both_made_a_lot_1_keep_both():
    here = told(*FILLED, shredded(mass_g=100.0))
    there = told(
        opened("WB-01"), *placed("b1", bin_id="WB-01"), shredded("WB-01", "QT-L01", 50.0),
        Drawn(lot="QT-L01", charge="slat", mass_g=20.0), station=OTHER, start=500,
    )  # fmt: skip
    state = fold([*here, *there])
    assert {n: lot.left_g for n, lot in state.lots.items()} == {"QT-L01": 100.0, f"QT-L01~{OTHER}": 30.0}
    assert state.troubles == ()


@settings(max_examples=60, deadline=None)
@given(bodies=st.lists(BODIES, max_size=25), seed=st.integers(0, 999))
def test_any_order_gives_the_same_lots_and_no_mass_is_lost(bodies, seed):
    events = told(opened(), opened("QT-02"), *placed("a1"), *placed("a2", bin_id="QT-02"), *bodies)
    state = fold(events)
    random.Random(seed).shuffle(events)
    assert fold([*events, *events[:3]]) == state
    inside = [i for b in state.bins.values() for i in b.items]
    in_lots = [i for lot in state.lots.values() for i in lot.items]
    assert len(set(inside + in_lots)) == len(inside + in_lots)
    for lot in state.lots.values():
        gone = lot.floated_g + lot.drawn_g + lot.written_off_g + lot.adjusted_g
        assert lot.left_g >= 0.0
        assert gone + lot.left_g == pytest.approx(lot.mass_g, abs=1e-6)


@pytest.mark.parametrize(
    "make",
    [
        lambda: shredded(mass_g=0.0),
        lambda: shredded(mass_g=float("nan")),
        lambda: shredded(tare_g=-1.0),
        lambda: shredded(resolution_g=0.0),
        lambda: Drawn(lot="a", charge="c", mass_g=-1.0),
        lambda: LotAdjusted(lot="a", mass_g=float("inf")),
        lambda: Floated(lot="a", bath="water", bath_g_cm3=0.998),
        lambda: Floated(lot="a", bath="water", bath_g_cm3=0.998, sinkers_g=1.0, floaters_g=1.0),
        lambda: Floated(lot="a", bath="water", bath_g_cm3=0.0, sinkers_g=1.0),
        lambda: WrittenOff(reason="x"),
        lambda: WrittenOff(reason="x", lot="a", bin="b"),
        lambda: WrittenOff(reason="x", lot="a", mass_g=0.0),
    ],
)
def test_an_event_that_cannot_be_is_refused(make):
    with pytest.raises(BadInput):
        make()
