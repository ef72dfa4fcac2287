"""A day as it stood when it ended: everything that came in is somewhere."""

import tempfile
from pathlib import Path

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from ledger_story import BODIES, STATION, Clock, create, judged, opened, received, reopen, shredded

from intake.desk.day import FATES, DayDesk, day_at, day_of
from intake.errors import BadInput
from intake.ledger.events import CampaignSet, Placed, PrepDone, TakenBack, Undone, WrittenOff
from intake.table.compat.decision import Verdict

SET = CampaignSet(
    campaign={"name": "Slats", "charge": [{"id": "slat", "resin": "PE-HD", "cavity": 1000.0}]},
    edition="2026-11",
)
DAY_MS = 86_400_000


@pytest.fixture
def told(tmp_path, handbook):
    """Acts of one or more days; gives the figures of a day."""

    def run(*days, day=None):
        clock = Clock()
        with create(tmp_path / "ledger", clock=clock) as ledger:
            for number, acts in enumerate(days):
                clock.now += DAY_MS * (number > 0)
                for body in acts:
                    ledger.append([body])
        desk = DayDesk.of(tmp_path / "ledger", handbook, day)
        return desk, day_at(desk)

    return run


def jug(item, **facts):
    return received(item, kind="jug", **facts)


@settings(max_examples=25, deadline=None)
@given(acts=st.lists(BODIES, max_size=14))
def test_what_came_in_is_somewhere(acts, handbook) -> None:
    assume(Undone(event=f"{STATION}.1") not in acts)  # the campaign stays
    with tempfile.TemporaryDirectory() as name:
        with create(Path(name) / "ledger") as ledger:
            for body in [SET, *acts]:
                ledger.append([body])
        desk = DayDesk.of(Path(name) / "ledger", handbook)
        assume(not any(item.split_g > (item.facts.gross_g or 1e9) for item in desk.state.items.values()))
        day = day_at(desk)
        assert sum(f.mean for f in day.fates.values()) == pytest.approx(day.received.mean, abs=1e-6)
        assert all(f.low <= f.mean <= f.high for f in day.fates.values())
        assert set(day.fates) == set(FATES)


@pytest.mark.parametrize(
    ("acts", "fate"),
    [
        ([], "open"),
        ([judged("a1")], "waiting"),
        ([judged("a1", Verdict.HOLD)], "hold"),
        ([judged("a1", Verdict.REFUSE)], "refuse"),
        ([judged("a1"), opened(), Placed(item="a1", bin="QT-01")], "bin"),
        (
            [judged("a1"), opened(), Placed(item="a1", bin="QT-01"), TakenBack(item="a1", bin="QT-01")],
            "waiting",
        ),
        ([judged("a1"), opened(), Placed(item="a1", bin="QT-01"), shredded()], "lot"),
        (
            [judged("a1"), opened(), Placed(item="a1", bin="QT-01"), WrittenOff(reason="wet", bin="QT-01")],
            "written_off",
        ),
    ],
    ids=lambda value: value if isinstance(value, str) else "",
)
def test_mass_is_where_its_item_is(acts, fate, told) -> None:
    _, day = told([SET, jug("a1"), *acts])
    assert {f for f, mass in day.fates.items() if mass.mean > 0.01} - {"off"} == {fate}


def test_only_accepted_items_lose_anything(told) -> None:
    _, day = told([SET, jug("a1", label="paper"), judged("a1", Verdict.REFUSE)])
    assert day.fates["off"].mean == 0.0
    assert not day.removed


def test_a_day_shows_what_came_that_day_as_it_stood_then(told) -> None:
    first, later = [SET, jug("a1"), judged("a1", Verdict.HOLD)], [jug("a2"), judged("a1", Verdict.REFUSE)]
    desk, _ = told(first, later)
    assert desk.day > "2026"
    early = day_of(desk.events[0].hlc)
    day = day_at(DayDesk.of(desk.ledger.folder, desk.handbook, early))
    assert (day.items, day.fates["hold"].mean > 0, day.fates["refuse"].mean) == (1, True, 0.0)


def test_without_a_day_it_is_the_last_one(told) -> None:
    desk, day = told([SET, jug("a1")], [jug("a2", count=3)])
    assert (day.items, day.pieces) == (1, 3)
    assert desk.day == day_of(desk.events[-1].hlc)


def test_an_undo_of_the_next_day_does_not_change_the_day_before(told) -> None:
    undo = Undone(event="QT-3f9a1c.2")
    desk, day = told([SET, jug("a1")], [undo])
    assert day.items == 0
    before = day_at(DayDesk.of(desk.ledger.folder, desk.handbook, day_of(desk.events[0].hlc)))
    assert before.items == 1


def test_minutes_count_on_the_day_they_were_told(told) -> None:
    first = [SET, jug("a1", minutes=3.0), PrepDone(item="a1", step="label", minutes=2.0)]
    desk, day = told(first, [PrepDone(item="a1", step="label", minutes=7.0), PrepDone(item="a1", step="dry")])
    assert dict(day.minutes) == {"label": 7.0}
    before = day_at(DayDesk.of(desk.ledger.folder, desk.handbook, day_of(desk.events[0].hlc)))
    assert dict(before.minutes) == {"before": 3.0, "label": 2.0}


@pytest.mark.parametrize("day", ["yesterday", "2026-13-01", "", "2026-02-30", "25.11.2026"])
def test_what_is_no_day_is_told(day, told) -> None:
    with pytest.raises(BadInput, match="a day such as"):
        told([SET], day=day)


def test_a_day_without_events_is_told_with_days_that_have_some(told) -> None:
    with pytest.raises(BadInput, match=r"something happened: 20\d\d-\d\d-\d\d"):
        told([SET, jug("a1")], day="2019-05-01")


def test_a_ledger_without_a_campaign_is_told(told) -> None:
    with pytest.raises(BadInput, match="campaign"):
        told([jug("a1")])


def test_a_ledger_without_events_is_told(tmp_path, handbook) -> None:
    create(tmp_path / "ledger").close()
    with pytest.raises(BadInput, match="something was recorded"):
        DayDesk.of(tmp_path / "ledger", handbook)


def test_a_writer_may_go_on_while_the_day_is_read(tmp_path, handbook) -> None:
    with create(tmp_path / "ledger") as ledger:
        ledger.append([SET, jug("a1")])
        assert day_at(DayDesk.of(tmp_path / "ledger", handbook)).items == 1
    with reopen(tmp_path / "ledger") as ledger:
        ledger.append([jug("a2")])
