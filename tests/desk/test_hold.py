"""The hold shelf: a tag, an age, and the one thing that settles it."""

from pathlib import Path

import pytest
from desk_helpers import rows_of

from intake.desk import clock
from intake.desk.decide import decide
from intake.desk.desk import Desk
from intake.desk.hold import HoldTag, hold_shelf
from intake.desk.observe import add_mark, add_test, revise
from intake.desk.outputs import settle_text
from intake.desk.receive import receive
from intake.table.compat.decision import Verdict
from intake.table.item import Residue
from intake.words import Words


def held(
    desk: Desk, kind: str, mark: str = "", tests: tuple[tuple[str, str], ...] = (), **facts: object
) -> HoldTag:
    item = receive(desk, kind)
    if mark:
        add_mark(desk, item, mark)
    for test in tests:
        add_test(desk, item, *test)
    if facts:
        revise(desk, item, facts)
    assert decide(desk, item).verdict is Verdict.HOLD
    return next(t for t in hold_shelf(desk) if t.item == item)


@pytest.mark.parametrize(
    ("kind", "mark", "facts", "code"),
    [
        ("oil bottle", "2", {"residue": Residue.EDIBLE_OIL}, "hold_wash_twice"),
        ("crate", "2", {"colour": "red"}, "hold_find_age"),
    ],
)
def test_what_no_test_settles_is_settled_otherwise(
    desk: Desk, kind: str, mark: str, facts: dict, code: str
) -> None:
    tag = held(desk, kind, mark, (("float:water", "floats"),), **facts)
    assert (tag.settle.test, tag.settle.reason.code) == ("", code)


def _ended_by(desk: Desk, kind: str, test: str) -> list[str]:
    """The results of a test that end the hold of an item of that kind."""
    cues = desk.handbook.identify.cues
    levels = ["floats", "sinks"] if test.startswith("float:") else cues.cues[test].levels
    ended = []
    for level in levels:
        item = receive(desk, kind)
        add_test(desk, item, test, level)
        if decide(desk, item).verdict is not Verdict.HOLD:
            ended.append(level)
    return ended


@pytest.mark.parametrize(
    "kind", ["jug", "bottle cap", "detergent bottle", "shampoo bottle", "pail", "film bag", "other"]
)
def test_a_doubtful_resin_gets_a_test_and_one_that_settles_alone_really_can(desk: Desk, kind: str) -> None:
    tag = held(desk, kind)
    assert tag.settle.test
    if tag.settle.alone:
        assert _ended_by(desk, kind, tag.settle.test)
        assert tag.settle.reason.code == "hold_one_test"
    else:
        assert tag.settle.reason.code == "hold_first_test"


def test_a_settled_item_leaves_the_shelf(desk: Desk) -> None:
    tag = held(desk, "oil bottle", "2", (("float:water", "floats"),), residue=Residue.EDIBLE_OIL)
    revise(desk, tag.item, {"residue": Residue.RINSED})
    decide(desk, tag.item)
    assert hold_shelf(desk) == ()


@pytest.mark.parametrize("days", [0, 1, 40])
def test_the_age_is_counted_from_the_hold(desk: Desk, monkeypatch: pytest.MonkeyPatch, days: int) -> None:
    tag = held(desk, "bottle cap")
    monkeypatch.setattr(clock, "now_ms", lambda: tag.since_ms + days * 86_400_000 + 5)
    assert hold_shelf(desk)[0].days == days


def test_the_same_hold_told_again_does_not_make_it_younger(desk: Desk) -> None:
    tag = held(desk, "bottle cap")
    add_test(desk, tag.item, "feel", "waxy_slippery")
    if decide(desk, tag.item).verdict is Verdict.HOLD:
        assert hold_shelf(desk)[0].since_ms == tag.since_ms


def test_the_one_that_waits_longest_stands_first(desk: Desk) -> None:
    first, second = held(desk, "pail"), held(desk, "bottle cap")
    assert [t.item for t in hold_shelf(desk)] == [first.item, second.item]


def test_the_file_of_the_shelf_says_what_to_do(sort_text, tmp_path: Path, words: Words) -> None:
    sort_text(
        "item,kind,count,mark,tests,residue\n"
        "a1,oil bottle,1,2,float:water=floats,edible-oil\n"
        "a2,bottle cap,40,,float:water=floats,clean\n"
        "a3,jug,4,2 HDPE,float:water=floats,clean\n"
    )
    rows = {r["item"]: r for r in rows_of(tmp_path / "out" / "hold.csv")}
    assert set(rows) == {"a1", "a2"}
    assert rows["a1"]["settle"].startswith("Wash it twice")
    assert rows["a2"]["settling_test"]
    assert words(f"test.{rows['a2']['settling_test']}") in rows["a2"]["settle"]
    assert rows["a2"]["held_since"][:2] == "20"
    assert not any("{" in r["settle"] or "reason." in r["settle"] for r in rows.values())


def test_a_tag_is_said_in_words(desk: Desk, words: Words) -> None:
    text = settle_text(held(desk, "bottle cap").settle, words)
    assert "min" in text
    assert "{" not in text
