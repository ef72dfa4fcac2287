"""A ledger in a folder: created once, appended to, read again, shared by one writer and many readers."""

import gc
import threading
import weakref

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from ledger_story import (
    BODIES,
    EVERY_KIND,
    OTHER,
    STATION,
    Clock,
    a_day,
    create,
    judged,
    opened,
    received,
    reopen,
)  # fmt: skip
from tinydb import where

from intake.errors import BadInput, DamagedLedger, LedgerBusy, Refusal
from intake.ledger import Ledger, fold, ledger_exists
from intake.ledger.envelope import canonical, digest, parse
from intake.ledger.events import Undone, Unknown
from intake.ledger.records import frame


@pytest.fixture
def folder(tmp_path):
    return tmp_path / "l"


def test_a_new_ledger_is_empty_and_knows_its_station(folder):
    with create(folder) as ledger:
        assert (ledger.station, ledger.payloads(), ledger.torn) == (STATION, (), None)
    assert ledger_exists(folder)
    assert not ledger_exists(folder.parent)


def test_what_was_appended_is_there_after_reopening(folder):
    with create(folder) as ledger:
        events = ledger.append(EVERY_KIND)
        state = ledger.state
    with Ledger.open(folder) as again:
        assert tuple(again.events()) == events
        assert again.state == state == fold(events)
        assert (again.station, again.heads[STATION].seq) == (STATION, len(EVERY_KIND))


@pytest.mark.parametrize("read", [list, fold, lambda events: [e.prev for e in events]])
def test_two_readings_are_alike(folder, read):
    with create(folder) as ledger:
        a_day(ledger, 30)
    with Ledger.open(folder) as one, Ledger.open(folder) as two:
        assert read(one.events()) == read(two.events())


def test_each_event_carries_the_hash_of_the_one_before(folder):
    with create(folder) as ledger:
        events = ledger.append([received("a1"), judged("a1"), opened()])
        payloads = ledger.payloads()
    assert events[0].prev == "0" * 64
    assert [e.prev for e in events[1:]] == [digest(p) for p in payloads[:-1]]
    assert [e.seq for e in events] == [1, 2, 3]


def test_the_chain_goes_on_after_reopening(folder):
    with create(folder) as ledger:
        (first,) = ledger.append([received("a1")])
        head = ledger.heads[STATION].hash
    with reopen(folder) as ledger:
        (second,) = ledger.append([received("a2")])
    assert (second.seq, second.prev) == (first.seq + 1, head)
    assert second.hlc > first.hlc


def test_nothing_to_record_writes_nothing(folder):
    with create(folder) as ledger:
        size = (folder / "journal").stat().st_size
        assert ledger.append([]) == ()
        assert (folder / "journal").stat().st_size == size


def test_a_ledger_is_never_replaced(folder):
    create(folder).close()
    with pytest.raises(BadInput, match="one is never replaced"):
        create(folder)
    Ledger.open(folder).close()


@pytest.mark.parametrize("station", ["", "QT", "qt-3f9a1c", "QT-3", "QT-3F9A", "QT 3f9a1c", "QT-3f9a1c\n"])
def test_a_station_that_does_not_read_is_refused_before_anything_is_made(folder, station):
    with pytest.raises(BadInput, match="Station"):
        create(folder, station=station)
    assert not folder.exists()


@pytest.mark.parametrize("writer", [False, True])
def test_a_folder_without_a_ledger_is_told(tmp_path, writer):
    with pytest.raises(BadInput, match="a folder that holds a ledger"):
        Ledger.open(tmp_path, writer=writer, now_ms=Clock())
    assert list(tmp_path.iterdir()) == []


def test_a_reader_cannot_write(folder):
    create(folder).close()
    with Ledger.open(folder) as reader, pytest.raises(Refusal, match="not open for writing"):
        reader.append([received("a1")])


def test_after_closing_nothing_is_recorded_and_closing_again_does_nothing(folder):
    ledger = create(folder)
    ledger.close()
    ledger.close()
    with pytest.raises(Refusal):
        ledger.append([received("a1")])


def test_a_second_writer_is_told_who_writes_and_can_come_later(folder):
    first = create(folder, what="intake serve")
    with pytest.raises(LedgerBusy, match=r"is being written by intake serve \(process \d+\)"):
        reopen(folder)
    first.close()
    reopen(folder).close()


def test_what_a_dead_writer_left_in_the_lock_file_does_not_keep_anybody_out(folder):
    create(folder).close()
    (folder / "lock").write_text("999999 intake serve\n")
    reopen(folder).close()


def test_an_unknown_kind_cannot_be_written_but_is_kept_when_it_is_there(folder):
    with create(folder) as ledger:
        ledger.append([received("a1")])
        with pytest.raises(BadInput, match="kind that this version knows"):
            ledger.append([Unknown(kind="Shredded", body={}, why="")])
        doc = parse(ledger.payloads()[0])
        later = {**doc, "v": 2, "seq": 2, "id": f"{STATION}.2", "kind": "Shredded", "body": {"bin": "QT-01"}}
        later |= {"hlc": "1795599669999-00000", "prev": ledger.heads[STATION].hash, "sealed": True}
    with (folder / "journal").open("ab") as file:
        file.write(frame([canonical(later)]))
    with reopen(folder) as ledger:
        assert ledger.unread == (f"{STATION}.2",)
        ledger.append([received("a2")])
        assert [e.kind for e in ledger.events()] == ["Received", "Shredded", "Received"]
        assert parse(ledger.payloads()[1]) == later


@pytest.mark.parametrize(
    ("change", "says"),
    [
        ({"seq": 3, "id": f"{STATION}.3"}, "a gap or a repeat"),
        ({"seq": 1, "id": f"{STATION}.1"}, "a gap or a repeat"),
        ({"prev": "0" * 64}, "does not carry the hash"),
        ({"hlc": "0000000000001-00000"}, "is not later than"),
        ({"hlc": "yesterday"}, "its time does not read"),
        ({"id": "x"}, "do not belong together"),
        ({"v": 0}, "its version is not"),
        ({"kind": 3}, "no text"),
        ({"station": None}, "do not belong together"),
    ],
)
def test_a_record_that_does_not_fit_the_chain_is_damage_though_its_check_sum_is_right(folder, change, says):
    with create(folder) as ledger:
        ledger.append([received("a1")])
        doc = parse(ledger.payloads()[0])
        good = {**doc, "seq": 2, "id": f"{STATION}.2", "hlc": "1795599669999-00000"}
        good |= {"prev": ledger.heads[STATION].hash}
    start = (folder / "journal").stat().st_size
    with (folder / "journal").open("ab") as file:
        file.write(frame([canonical({**good, **change})]))
    with pytest.raises(DamagedLedger, match=rf"up to byte {start}\..*{says}"):
        Ledger.open(folder)


@pytest.mark.parametrize("payload", [b"[]", b"{", b"{}", b"nul", b'{"v":NaN}', b"\xff\xfe"])
def test_a_record_that_holds_no_event_is_damage(folder, payload):
    create(folder).close()
    with (folder / "journal").open("ab") as file:
        file.write(frame([payload]))
    with pytest.raises(DamagedLedger, match="The record that begins there is damaged"):
        Ledger.open(folder)


@pytest.mark.parametrize(
    "header", [b"", b"\n", frame([b"{}"]), frame([b'{"journal":1,"station":"?"}']), b"noise\n"]
)
def test_a_file_that_is_no_journal_is_told(folder, header):
    create(folder).close()
    (folder / "journal").write_bytes(header)
    with pytest.raises(DamagedLedger, match="up to byte 0"):
        Ledger.open(folder)


def test_a_newer_layout_is_left_alone(folder):
    create(folder).close()
    (folder / "journal").write_bytes(frame([canonical({"journal": 2, "station": STATION})]))
    with pytest.raises(DamagedLedger, match="has layout 2; this program reads 1"):
        Ledger.open(folder)


def test_find_answers_tinydb_queries(folder):
    with create(folder) as ledger:
        a_day(ledger, 40)
        found = ledger.find((where("kind") == "Placed") & (where("body")["item"] == "a1"))
        assert [event.body.item for event in found] == ["a1"] * len(found)
        before = len(ledger.find(where("kind") == "Received"))
        ledger.append([received("late")])
        assert len(ledger.find(where("kind") == "Received")) == before + 1


def test_a_state_once_given_does_not_change(folder):
    with create(folder) as ledger:
        ledger.append([received("a1")])
        before = ledger.state
        ledger.append([received("a2")])
        assert (list(before.items), list(ledger.state.items)) == (["a1"], ["a1", "a2"])
        assert ledger.state is ledger.state
        with pytest.raises(TypeError):
            before.items["a3"] = None


def test_a_reader_sees_whole_acts_and_catches_up_when_asked(folder):
    with create(folder) as writer, Ledger.open(folder) as reader:
        writer.append([received("a1"), judged("a1")])
        assert reader.payloads() == ()
        assert (reader.refresh(), reader.state) == (2, writer.state)
        writer.append([Undone(event=f"{STATION}.1")])
        assert (reader.refresh(), reader.refresh()) == (1, 0)
        assert reader.state == writer.state


def test_a_reader_notices_that_the_file_is_another_one(folder):
    with create(folder) as writer:
        empty = (folder / "journal").read_bytes()
        writer.append([received("a1")])
        reader = Ledger.open(folder)
    (folder / "journal").write_bytes(empty)
    reader.refresh()
    assert reader.payloads() == ()


def test_a_copy_can_go_on_under_another_name(folder):
    with create(folder) as ledger:
        ledger.append([received("a1")])
    with reopen(folder, station=OTHER) as copy:
        (event,) = copy.append([received("b1")])
        assert (event.id, event.prev) == (f"{OTHER}.1", "0" * 64)
        assert {name: head.seq for name, head in copy.heads.items()} == {STATION: 1, OTHER: 1}


def test_threads_of_one_process_share_a_writer(folder):
    with create(folder) as ledger:

        def work(letter):
            for n in range(20):
                ledger.append([received(f"{letter}{n}"), judged(f"{letter}{n}")])

        threads = [threading.Thread(target=work, args=(letter,)) for letter in "abcd"]
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join()
        assert len(ledger.state.items) == 80
    with Ledger.open(folder) as again:
        assert again.heads[STATION].seq == 160


@given(st.lists(st.lists(BODIES, min_size=1, max_size=3), max_size=6))
@settings(max_examples=40, deadline=None)
def test_the_state_kept_up_is_the_state_folded_anew_and_the_state_read_again(tmp_path_factory, acts):
    folder = tmp_path_factory.mktemp("p") / "l"
    with create(folder) as ledger:
        for act in acts:
            ledger.append(act)
            assert ledger.state == fold(ledger.events())
        state = ledger.state
    with Ledger.open(folder) as again:
        assert again.state == state


@pytest.mark.parametrize("how", ["read", "folded anew"])
def test_a_ledger_that_nobody_holds_any_more_is_freed_at_once(folder, how):
    """A long ledger's parts are left out of garbage collection, so that a cycle among them would stay for ever."""
    with create(folder) as ledger:
        a_day(ledger, 30)
    gc.disable()
    try:
        ledger = Ledger.open(folder) if how == "read" else reopen(folder)
        if how == "folded anew":
            ledger.append([Undone(event=f"{STATION}.3")])
        held = [weakref.ref(part) for part in (ledger, ledger._memory, ledger._memory._folding)]
        state = ledger.state
        ledger.close()
        del ledger
        assert [ref() for ref in held] == [None, None, None]
        assert len(state.items) > 3
    finally:
        gc.enable()
