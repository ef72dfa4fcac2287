"""Two tables that were apart become one: the union of their events, whoever takes whose, and when."""

import shutil

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from ledger_story import BODIES, OTHER, START_MS, STATION, Clock, a_day, create, judged, received, reopen

from intake.errors import Refusal
from intake.ledger import Ledger, fold
from intake.ledger.envelope import canonical
from intake.ledger.merge import merge
from intake.ledger.verify import verify

THIRD = "KA-0042ab"


@pytest.fixture
def here(tmp_path):
    with create(tmp_path / "here") as ledger:
        a_day(ledger, 9, seed=1)
        yield ledger


@pytest.fixture
def there(tmp_path):
    with create(tmp_path / "there", station=OTHER, clock=Clock(START_MS + 3)) as ledger:
        a_day(ledger, 11, seed=2, letters="b")
        yield ledger


def test_a_merge_brings_what_is_missing_and_a_second_one_nothing(here, there):
    merged = merge(here, there)
    assert (len(merged.added), merged.stations) == (11, (OTHER,))
    assert merge(here, there).added == ()
    assert len(here.payloads()) == 20
    assert here.state == fold([*here.events(), *there.events()])


def test_both_ways_round_gives_the_same_state(here, there):
    merge(here, there)
    merge(there, here)
    assert here.state == there.state
    assert set(here.payloads()) == set(there.payloads())


def test_a_merged_ledger_is_whole_and_goes_on(here, there):
    merge(here, there)
    folder = here.folder
    (event,) = here.append([received("late")])
    assert event.hlc > max(e.hlc for e in there.events())
    here.close()
    assert verify(folder).ok
    with Ledger.open(folder) as again:
        assert again.state == here.state
        assert {name: head.seq for name, head in again.heads.items()} == {STATION: 10, OTHER: 11}


@pytest.mark.parametrize("between", [1, 2, 5])
def test_a_later_merge_brings_only_what_came_since(here, there, between):
    merge(here, there)
    there.append([received(f"n{n}") for n in range(between)])
    assert len(merge(here, there).added) == between


def test_a_copy_that_went_on_under_the_same_name_is_refused_and_nothing_is_taken(tmp_path, here):
    shutil.copytree(here.folder, tmp_path / "copy")
    here.append([received("x1")])
    with reopen(tmp_path / "copy") as copy:
        copy.append([received("x2"), received("x3")])
        before = here.payloads()
        with pytest.raises(Refusal, match=rf"an event 10 of station {STATION}, and they differ"):
            merge(here, copy)
        assert here.payloads() == before


@pytest.mark.parametrize("which", [0, 1])
def test_events_that_do_not_fit_are_not_adopted(here, there, which):
    wrong = [there.payloads()[1:], there.payloads()[::-1]][which]
    with pytest.raises(Refusal, match="do not fit"):
        here.adopt(wrong)
    assert len(here.payloads()) == 9
    here.append([judged("a1")])


@given(st.lists(st.lists(BODIES, max_size=5), min_size=3, max_size=3), st.permutations([0, 1, 2]))
@settings(max_examples=25, deadline=None)
def test_merging_is_commutative_associative_and_idempotent(tmp_path_factory, days, order):
    folder = tmp_path_factory.mktemp("m")
    tables = []
    for n, (station, day) in enumerate(zip((STATION, OTHER, THIRD), days, strict=True)):
        ledger = create(folder / station, station=station, clock=Clock(START_MS + n, step=5))
        ledger.append(day)
        tables.append(ledger)
    expected = fold([event for ledger in tables for event in ledger.events()])
    first, second, third = (tables[n] for n in order)
    merge(second, third)
    merge(first, second)
    assert first.state == expected
    merge(third, first)
    merge(third, second)
    assert third.state == expected
    for ledger in tables:
        ledger.close()


@pytest.mark.parametrize(
    "payload",
    [b"", b"nonsense", b"[1]", b"\xff{}", b"{" * 100_000, b'{"a":' * 500 + b"1" + b"}" * 500, b"{}",
     b'{"station":"QT"}', b'{"station":["QT-3f9a1c"]}', b'{"station":"QT-3f9a1c"}',
     b'{"a":\n1,"station":"WB-77b0d2"}'],
    ids=lambda payload: payload[:20].decode("latin1"),
)  # fmt: skip
def test_what_is_no_event_is_refused_in_a_sentence_and_nothing_is_saved(here, payload):
    before = (here.folder / "journal").read_bytes()
    with pytest.raises(Refusal, match="Nothing was saved"):
        here.adopt([payload])
    assert (here.folder / "journal").read_bytes() == before


@pytest.mark.parametrize("station", ["qt-3f9a1c", "QT", "QT-3f9a1c~", "T" * 40, ""])
def test_the_event_of_a_station_that_is_none_is_refused(here, station):
    event = {"v": 1, "station": station, "seq": 1, "hlc": "1795599669999-00000", "id": f"{station}.1"}
    event |= {"kind": "Received", "body": {"item": "x", "kind": "jug"}, "prev": "0" * 64}
    with pytest.raises(Refusal, match="letters and a short id"):
        here.adopt([canonical(event)])
