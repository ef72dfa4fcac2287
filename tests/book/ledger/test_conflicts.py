"""Two tables told of the same thing while they were apart: the stated rule holds, whoever takes in the other."""

import shutil

import pytest
from ledger_story import OTHER, STATION, Clock, create, judged, opened, received, reopen, shredded

from intake.ledger.events import BinOpened, LotAdjusted, Placed, PrepDone, Revised, TakenBack, Undone
from intake.ledger.merge import merge
from intake.table.compat.decision import Verdict

EARLY, LATE = Clock(1_795_600_000_000), Clock(1_795_700_000_000)


@pytest.fixture
def apart(tmp_path):
    """Two tables that knew the same and go on apart; the second one's clock is later."""
    with create(tmp_path / "a") as first:
        first.append(
            [received("a1"), judged("a1"), opened("QT-01"), opened("QT-02"), Placed(item="a1", bin="QT-01")]
        )
    shutil.copytree(tmp_path / "a", tmp_path / "b")
    with (
        reopen(tmp_path / "a", clock=Clock(EARLY.now)) as first,
        reopen(tmp_path / "b", clock=Clock(LATE.now), station=OTHER) as second,
    ):
        yield first, second


def weighs(**changes):
    return Revised(item="a1", changes=changes)


CASES = {
    "a fact corrected twice": ([weighs(gross_g=5.0)], [weighs(gross_g=7.0, count=2)], "gross_g", "later"),
    "a step and a correction": (
        [PrepDone(item="a1", step="residue")], [weighs(residue="food")], "residue", "later",
    ),
    "two verdicts": ([judged("a1")], [judged("a1", Verdict.HOLD)], "resin verdict", "later"),
    "moved and taken out": (
        [Placed(item="a1", bin="QT-02")], [TakenBack(item="a1", bin="QT-01")], "place", "later",
    ),
    "shredded twice": (
        [shredded("QT-01", "QT-L01", 50.0)], [shredded("QT-01", "WB-L01", 60.0)], "shredded or written off",
        "earlier",
    ),
}  # fmt: skip


@pytest.mark.parametrize("side", ["the first takes in", "the second takes in"])
@pytest.mark.parametrize("case", CASES)
def test_the_rule_holds_whoever_takes_in_the_other(apart, case, side):
    ours, theirs, what, holds = CASES[case]
    about = "QT-01" if holds == "earlier" else "a1"
    first, second = apart
    early, late = first.append(ours)[-1], second.append(theirs)[-1]
    made = merge(first, second) if side == "the first takes in" else merge(second, first)
    (found,) = made.conflicts
    assert (found.about, found.what) == (about, what)
    assert (found.holds, found.passed) == ((late.id, early.id) if holds == "later" else (early.id, late.id))


def test_the_later_fact_is_in_the_state_and_the_first_shredding_stays(apart):
    first, second = apart
    first.append([Revised(item="a1", changes={"gross_g": 5.0}), shredded("QT-01", "QT-L01", 50.0)])
    second.append([Revised(item="a1", changes={"gross_g": 7.0}), shredded("QT-01", "WB-L01", 60.0)])
    made = merge(first, second)
    assert first.state.items["a1"].facts.gross_g == 7.0
    assert set(first.state.lots) == {"QT-L01"}
    assert [t.where for t in made.troubles] == [f"Event {OTHER}.2 (Shredded)"]


@pytest.mark.parametrize(
    ("ours", "theirs"),
    [
        ([Revised(item="a1", changes={"gross_g": 5.0})], [Revised(item="a1", changes={"count": 3})]),
        ([Placed(item="a1", bin="QT-02")], [Placed(item="a1", bin="QT-02")]),
        ([received("b1"), judged("b1")], [received("b1"), judged("b1", Verdict.HOLD)]),
        ([Revised(item="a1", changes={"gross_g": 5.0})], []),
    ],
    ids=["different facts", "the same word", "two things of one name", "one side only"],
)
def test_what_does_not_contradict_is_no_conflict(apart, ours, theirs):
    first, second = apart
    first.append(ours)
    second.append(theirs)
    assert merge(first, second).conflicts == ()


def test_what_one_side_undid_itself_contradicts_nobody(apart):
    first, second = apart
    (slip,) = first.append([Revised(item="a1", changes={"gross_g": 5.0})])
    first.append([Undone(event=slip.id)])
    second.append([Revised(item="a1", changes={"gross_g": 7.0})])
    assert merge(first, second).conflicts == ()


def test_a_name_that_both_gave_out_is_told_and_means_both(apart):
    first, second = apart
    first.append([opened("QT-03"), received("b1"), Placed(item="b1", bin="QT-03")])
    second.append([BinOpened(bin="QT-03", resin="PP", colour="white", flow="blow"), received("b1")])
    made = merge(first, second)
    assert made.renamed == (f"QT-03~{OTHER}", f"b1~{OTHER}")
    assert merge(first, second).renamed == ()
    assert merge(second, first).renamed == (f"QT-03~{OTHER}", f"b1~{OTHER}")
    assert first.state == second.state
    assert first.state.items["b1"].bin == "QT-03"


def test_a_mass_weighed_at_both_tables_is_the_later_one(apart):
    first, second = apart
    first.append([shredded("QT-01", "QT-L01", 50.0)])
    merge(second, first)
    first.append([LotAdjusted(lot="QT-L01", mass_g=40.0)])
    second.append([LotAdjusted(lot="QT-L01", mass_g=30.0)])
    (found,) = merge(first, second).conflicts
    assert (found.about, found.what) == ("QT-L01", "mass")
    assert first.state.lots["QT-L01"].left_g == 30.0
    assert found.holds.startswith(OTHER)
    assert found.passed.startswith(STATION)


def test_a_tare_and_a_mass_that_do_not_go_together_are_told_and_no_mass_is_below_zero(apart):
    first, second = apart
    first.append([weighs(gross_g=5.0)])
    second.append([weighs(tare_g=9.0)])
    (trouble,) = merge(first, second).troubles
    assert trouble.got == "9 g tare of 5 g"
    assert (first.state.items["a1"].facts.gross_g, first.state.items["a1"].facts.tare_g) == (5.0, 0.0)
