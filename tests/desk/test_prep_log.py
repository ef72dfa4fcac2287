"""Parts that hide under a closure, and the clock of an item: logged apart, once, and learned from."""

import pytest

from intake.desk import clock
from intake.desk.answer import answer_prep
from intake.desk.decide import decide
from intake.desk.desk import Desk
from intake.desk.observe import add_mark, add_test
from intake.desk.pace import paces_of
from intake.desk.prep_log import (
    add_minutes,
    part_off,
    parts_off,
    prep_detail,
    running_since,
    start_clock,
    stop_clock,
)
from intake.desk.prepare import prep_all
from intake.desk.receive import receive
from intake.desk.undo import undo_last
from intake.desk.views.clean import prep_view
from intake.errors import BadInput, Refusal
from intake.table.prep.steps import Covers, HiddenPart, StepName

MINUTE = 60_000


@pytest.fixture
def item(desk: Desk) -> str:
    return taken(desk, "jug")


@pytest.fixture
def now(monkeypatch: pytest.MonkeyPatch):
    """The clock on the wall, to be moved on."""
    at = [clock.now_ms()]
    monkeypatch.setattr(clock, "now_ms", lambda: at[0])
    return at


def taken(desk: Desk, kind: str) -> str:
    """An accepted item of that kind."""
    item = receive(desk, kind, 2, colour="natural")
    add_mark(desk, item, "2 HDPE")
    add_test(desk, item, "float:water", "floats")
    decide(desk, item)
    return item


def clocked(desk: Desk, item: str) -> float:
    return prep_view(desk, item).minutes


@pytest.mark.parametrize(
    ("kind", "parts"), [("jug", ("liner", "seal")), ("pump bottle", ("pump",)), ("bottle cap", ())]
)
def test_each_kind_asks_for_the_parts_that_it_can_hide(desk: Desk, kind: str, parts: tuple[str, ...]) -> None:
    assert tuple(name for name, _ in prep_view(desk, taken(desk, kind)).parts) == parts


def test_a_part_is_logged_once_and_can_stay_on_after_all(desk: Desk, item: str) -> None:
    part_off(desk, item, HiddenPart.LINER)
    part_off(desk, item, HiddenPart.LINER)
    state = desk.state.items[item]
    assert (parts_off(state), len(state.prep)) == ({"liner"}, 1)
    part_off(desk, item, HiddenPart.LINER, off=False)
    assert parts_off(desk.state.items[item]) == frozenset()


def test_a_part_that_it_cannot_hide_is_refused(desk: Desk, item: str) -> None:
    with pytest.raises(BadInput, match="liner, seal"):
        part_off(desk, item, HiddenPart.PUMP)


def test_the_clock_gives_the_minutes_between_start_and_stop(desk: Desk, item: str, now: list[int]) -> None:
    start_clock(desk, item)
    start_clock(desk, item)
    since = running_since(desk, desk.state.items[item])
    assert prep_view(desk, item).since_ms == since
    now[0] += 3 * MINUTE
    stop_clock(desk, item)
    stop_clock(desk, item)
    assert clocked(desk, item) == pytest.approx(3, abs=0.01)
    assert prep_view(desk, item).since_ms is None
    start_clock(desk, item)
    now[0] = running_since(desk, desk.state.items[item]) + 2 * MINUTE
    stop_clock(desk, item)
    assert clocked(desk, item) == pytest.approx(5, abs=0.02)


def test_the_clock_runs_on_while_the_server_is_down(desk: Desk, item: str, now: list[int]) -> None:
    start_clock(desk, item)
    folder, book = desk.ledger.folder, desk.handbook
    desk.close()
    now[0] += 4 * MINUTE
    with Desk.open(folder, book) as again:
        stop_clock(again, item)
        assert clocked(again, item) == pytest.approx(4, abs=0.01)


def test_a_clock_that_was_forgotten_is_not_believed(desk: Desk, item: str, now: list[int]) -> None:
    start_clock(desk, item)
    now[0] += 25 * 60 * MINUTE
    with pytest.raises(Refusal, match="more than a day"):
        stop_clock(desk, item)
    add_minutes(desk, item, 7)
    assert (clocked(desk, item), prep_view(desk, item).since_ms) == (7, None)


def test_a_clock_that_goes_backwards_gives_no_negative_minutes(desk: Desk, item: str, now: list[int]) -> None:
    start_clock(desk, item)
    now[0] -= 5 * MINUTE
    stop_clock(desk, item)
    assert clocked(desk, item) == 0.0


@pytest.mark.parametrize("minutes", [0.0, -1.0, 1441.0, float("nan")])
def test_minutes_that_cannot_be_are_refused(desk: Desk, item: str, minutes: float) -> None:
    with pytest.raises(BadInput, match="minutes above 0"):
        add_minutes(desk, item, minutes)


def test_minutes_of_the_clock_teach_the_pace_of_what_was_done(desk: Desk, item: str) -> None:
    before = paces_of(desk.handbook)
    add_minutes(desk, item, 60)  # half an hour a jug is slow by any measure
    prep_all(desk, item)
    done = {step.step for step in desk.state.items[item].prep}
    after = paces_of(desk.handbook, desk.ledger.events(), desk.state)
    assert {"closure", "dry"} <= done
    assert after.by_task["closure"].mean_s > before.by_task["closure"].mean_s
    assert after.by_task["label:sleeve"].mean_s == before.by_task["label:sleeve"].mean_s


def test_undo_takes_the_minutes_back(desk: Desk, item: str) -> None:
    add_minutes(desk, item, 5)
    undo_last(desk, item)
    assert clocked(desk, item) == 0.0


def test_how_a_label_came_off_and_how_much_it_covered_stands_beside_what_was_answered(
    desk: Desk, item: str
) -> None:
    answer_prep(desk, item, StepName.LABEL, left_on="partly")
    prep_detail(desk, item, StepName.LABEL, how="soak")
    prep_detail(desk, item, StepName.LABEL, covers=Covers.BAND)
    prep_detail(desk, item, StepName.LABEL, covers=Covers.BAND)
    told = desk.state.items[item].prep
    assert (len(told), told[-1].left_on, told[-1].how, told[-1].covers) == (3, "partly", "soak", "band")
    row = next(r for r in prep_view(desk, item).rows if r.step is StepName.LABEL)
    assert (row.answer, row.how, row.covers) == ("partly", "soak", "band")
    assert "soak" in row.methods


def test_the_ways_are_still_offered_once_the_label_is_off(desk: Desk, item: str) -> None:
    answer_prep(desk, item, StepName.LABEL)
    row = next(r for r in prep_view(desk, item).rows if r.step is StepName.LABEL)
    assert row.answer == "done"
    assert {"soak", "washing-soda"} <= set(row.methods)


def test_a_detail_belongs_to_an_answer_and_to_a_method_that_there_is(desk: Desk, item: str) -> None:
    with pytest.raises(BadInput, match="answered before"):
        prep_detail(desk, item, StepName.LABEL, how="soak")
    answer_prep(desk, item, StepName.LABEL)
    with pytest.raises(BadInput, match="washing-soda"):
        prep_detail(desk, item, StepName.LABEL, how="acetone")
