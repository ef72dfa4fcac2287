"""A pile best first: from a sheet, from the table, with what the table learned from its own minutes."""

from pathlib import Path

import pytest

from intake.desk.decide import decide
from intake.desk.desk import Desk
from intake.desk.observe import add_mark, add_test, revise
from intake.desk.pace import paces_of
from intake.desk.place import place_in_bin
from intake.desk.prepare import prep_done, weigh
from intake.desk.receive import receive
from intake.desk.sort_file import Sorted
from intake.desk.undo import undo_last
from intake.desk.worth import worth_of_pile, worth_of_sheet
from intake.errors import BadInput, ManyFaults
from intake.handbook import Handbook
from intake.spread import mean_of
from intake.table.item import Label
from intake.table.prep.steps import StepName

SHEET = """item,kind,count,mark,tests,label,closure,residue
bare,jug,4,2 HDPE,float:water=floats,none,off,rinsed
paper,jug,4,2 HDPE,float:water=floats,paper,on,food
pet,beverage bottle,7,1 PET,,film,on,rinsed
unsure,bottle cap,40,,float:water=floats,none,none,clean
old,crate,1,2,float:water=floats,none,none,clean
"""


@pytest.fixture
def sheet(tmp_path: Path) -> Path:
    path = tmp_path / "pile.csv"
    path.write_text(SHEET, encoding="utf-8")
    return path


def test_a_pile_is_ordered_and_what_gives_nothing_is_named(sheet: Path, handbook: Handbook) -> None:
    made = worth_of_sheet(sheet, handbook)
    order = [line.worth.key for line in made.ordered]
    assert order.index("bare") < order.index("paper")
    assert {line.worth.key for line in made.left_out} == {"pet", "old"}
    assert made.logged_rows == 0


def test_a_held_row_pays_for_its_test_and_counts_by_its_chance(sheet: Path, handbook: Handbook) -> None:
    made = worth_of_sheet(sheet, handbook)
    unsure = next(line for line in made.ordered if line.worth.key == "unsure")
    assert unsure.verdict.verdict == "hold"
    assert 0.3 < unsure.worth.chance < 0.95


@pytest.mark.parametrize(
    ("minutes", "code"),
    [
        (None, "worth_pile_too_small"),
        (3.0, "worth_pile_too_small_in_time"),
        (300.0, "worth_pile_too_small_in_time"),
    ],
)
def test_a_pile_that_is_too_small_is_told(
    sheet: Path, handbook: Handbook, minutes: float | None, code: str
) -> None:
    (charge,) = worth_of_sheet(sheet, handbook, minutes=minutes).charges
    assert charge.reason.code == code


@pytest.mark.parametrize(
    ("minutes", "code"),
    [(None, "worth_minutes_needed"), (2.0, "worth_time_too_short"), (300.0, "worth_time_reaches")],
)
def test_too_little_time_is_told(
    tmp_path: Path, handbook: Handbook, minutes: float | None, code: str
) -> None:
    path = tmp_path / "many.csv"
    path.write_text("kind,count,mark,tests\njug,200,2 HDPE,float:water=floats\n", encoding="utf-8")
    (charge,) = worth_of_sheet(path, handbook, minutes=minutes).charges
    assert charge.reason.code == code
    assert charge.minutes_needed is not None
    if minutes == 2.0:
        assert charge.chance is not None
        assert charge.chance < 0.01
        assert charge.minutes_needed > minutes


@pytest.mark.parametrize("minutes", [-1.0, 1441.0, float("nan"), float("inf")])
def test_minutes_that_cannot_be_are_refused(sheet: Path, handbook: Handbook, minutes: float) -> None:
    with pytest.raises(BadInput, match="from 0 to 1440"):
        worth_of_sheet(sheet, handbook, minutes=minutes)


def test_a_bad_row_is_told(tmp_path: Path, handbook: Handbook) -> None:
    path = tmp_path / "bad.csv"
    path.write_text("kind,count\njug,-2\n", encoding="utf-8")
    with pytest.raises(ManyFaults, match="a whole number from 1"):
        worth_of_sheet(path, handbook)


def test_a_ledger_counts_its_bins_and_changes_nothing(sort_text, sheet: Path, handbook: Handbook) -> None:
    first: Sorted = sort_text("item,kind,count,mark,tests\nb1,jug,6,2 HDPE,float:water=floats\n")
    before = (first.ledger / "journal").read_bytes()
    (charge,) = worth_of_sheet(sheet, handbook, ledger=first.ledger, minutes=30).charges
    assert charge.id == "slat"
    assert charge.have.mean == pytest.approx(first.report.shred_g.mean)
    assert (first.ledger / "journal").read_bytes() == before


def test_rows_that_the_ledger_has_are_not_offered_again(
    sort_text, tmp_path: Path, handbook: Handbook
) -> None:
    first: Sorted = sort_text(SHEET, name="pile.csv")
    again = worth_of_sheet(tmp_path / "pile.csv", handbook, ledger=first.ledger)
    assert (again.ordered, again.left_out) == ((), ())


def _accepted(desk: Desk, count: int = 4, **worn: object) -> str:
    item = receive(desk, "jug", count, colour="natural")
    add_mark(desk, item, "2 HDPE")
    add_test(desk, item, "float:water", "floats")
    revise(desk, item, {"label": Label.PAPER, **worn})
    decide(desk, item)
    return item


def _pace(desk: Desk, task: str = "label:paper") -> float:
    return paces_of(desk.handbook, desk.ledger.events(), desk.state).by_task[task].typical_s


def test_the_table_learns_from_its_own_minutes(desk: Desk) -> None:
    before = _pace(desk)
    for _ in range(6):
        prep_done(desk, _accepted(desk), StepName.LABEL, minutes=8.0)  # 120 s a piece
    assert before < 30
    assert _pace(desk) == pytest.approx(120, rel=0.4)
    assert worth_of_pile(desk).logged_rows == pytest.approx(6, abs=1.5)


def test_an_undone_step_teaches_nothing(desk: Desk) -> None:
    before = _pace(desk)
    item = _accepted(desk)
    prep_done(desk, item, StepName.LABEL, minutes=8.0)
    assert _pace(desk) > before
    undo_last(desk, item)
    assert _pace(desk) == before


@pytest.mark.parametrize("minutes", [None, 0.0])
def test_a_step_without_minutes_teaches_nothing(desk: Desk, minutes: float | None) -> None:
    before = _pace(desk)
    prep_done(desk, _accepted(desk), StepName.LABEL, minutes=minutes)
    assert _pace(desk) == before


def test_minutes_of_a_row_are_shared_out_over_what_was_done(sort_text, handbook: Handbook) -> None:
    text = (
        "item,kind,count,mark,label,label_removed,closure,residue,gross,weighed,minutes\n"
        "a1,jug,4,2 HDPE,paper,yes,off,clean,243 g,prepared,20\n"
    )
    done: Sorted = sort_text(text)
    with Desk.read(done.ledger, handbook) as desk:
        paces = paces_of(handbook, desk.ledger.events(), desk.state)
    plain = paces_of(handbook)
    for task in ("label:paper", "closure", "dry"):
        assert paces.by_task[task].typical_s > plain.by_task[task].typical_s
        assert 0 < paces.by_task[task].rows < 1
    assert paces.by_task["label:film"] == plain.by_task["label:film"]


def test_the_apps_pile_holds_what_waits_and_not_what_lies_in_a_bin(desk: Desk) -> None:
    waiting, done = _accepted(desk), _accepted(desk)
    weigh(desk, done, 240.0)
    place_in_bin(desk, done)
    made = worth_of_pile(desk, minutes=10)
    assert [line.worth.key for line in made.ordered] == [waiting]
    assert made.charges[0].have.mean > 200
    assert mean_of(made.ordered[0].worth.minutes) > 0


def test_the_footprint_stands_beside_the_pile(sheet: Path, handbook: Handbook) -> None:
    (found,) = worth_of_sheet(sheet, handbook).footprints
    assert found.resin == "PE-HD"
    assert found.minutes is not None
    assert mean_of(found.minutes) > 0
    assert found.virgin is not None
