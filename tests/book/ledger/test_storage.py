"""TinyDB reads and searches the journal; nothing can be rewritten through it."""

import pytest
from ledger_story import OTHER, STATION, a_day, create
from tinydb import where

from intake.errors import Refusal
from intake.ledger.envelope import parse
from intake.ledger.journal import Journal
from intake.ledger.records import Group
from intake.ledger.storage import EventBase


@pytest.fixture
def base(tmp_path):
    with create(tmp_path / "l") as ledger:
        a_day(ledger, 12)
        yield ledger._base


REWRITES = {
    "update": lambda table: table.update({"kind": "x"}),
    "update by id": lambda table: table.update({"kind": "x"}, doc_ids=[1]),
    "remove": lambda table: table.remove(where("kind") == "Received"),
    "remove by id": lambda table: table.remove(doc_ids=[1]),
    "upsert": lambda table: table.upsert({"kind": "x"}, where("kind") == "Received"),
    "truncate": lambda table: table.truncate(),
    "update many": lambda table: table.update_multiple([({"kind": "x"}, where("kind") == "Received")]),
}


@pytest.mark.parametrize("rewrite", REWRITES.values(), ids=REWRITES)
def test_what_would_rewrite_an_event_is_refused_and_nothing_changes(base, rewrite):
    before = list(base.events)
    with pytest.raises(Refusal, match="never changed or removed"):
        rewrite(base.events)
    assert list(base.events) == before


@pytest.mark.parametrize("drop", [lambda base: base.drop_tables(), lambda base: base.storage.write({})])
def test_the_storage_is_never_written_whole(base, drop):
    with pytest.raises(Refusal):
        drop(base)
    assert len(base.events) == 12


def test_reading_through_tinydb_sees_the_documents_by_number(base):
    assert base.tables() == {"events"}
    assert [doc.doc_id for doc in base.events] == list(range(1, 13))
    assert base.events.get(doc_id=3)["id"] == f"{STATION}.3"
    assert base.events.get(doc_id=13) is None
    assert base.events.count(where("station") == STATION) == 12
    assert not base.events.contains(where("station") == OTHER)


@pytest.mark.parametrize("many", [1, 3])
def test_an_insert_is_one_group_in_the_journal_and_visible_at_once(tmp_path, many):
    with create(tmp_path / "l") as ledger:
        a_day(ledger, 4)
        documents = [parse(payload) for payload in ledger.payloads()]
    with create(tmp_path / "copy") as copy:
        table = copy._base.events
        assert table.count(where("kind") == "BinOpened") == 0
        numbers = table.insert_multiple(documents[:many]) if many > 1 else [table.insert(documents[0])]
        assert numbers == list(range(1, many + 1))
        assert table.count(where("kind") == "BinOpened") == min(many, 2)
        journal = Journal.open(tmp_path / "copy" / "journal")
        assert [len(group.payloads) for group in journal.groups() if isinstance(group, Group)] == [many]


def test_an_insert_costs_the_same_number_of_bytes_and_one_write_however_long_the_ledger_is(tmp_path):
    """O(1): stock TinyDB writes all documents again; here only the group is written, once, with one sync."""
    calls = []

    class Counting:
        def __init__(self, path):
            from intake.ledger.disk import DiskFile

            self._real = DiskFile(path)

        def append(self, data):
            calls.append(("append", len(data)))
            return self._real.append(data)

        def sync(self):
            calls.append(("sync", 0))
            self._real.sync()

        def __getattr__(self, name):
            return getattr(self._real, name)

    with create(tmp_path / "l", open_file=Counting) as ledger:
        for length in (5, 500):
            a_day(ledger, length, letters="a" if length == 5 else "b")
            calls.clear()
            (event,) = ledger.append([ledger_item(length)])
            written = calls[0][1]
            assert [name for name, _ in calls] == ["append", "sync"]
            assert written < 600, event


def ledger_item(number):
    from ledger_story import received

    return received(f"z{number}")


def test_a_table_that_stands_on_something_else_is_told():
    from tinydb.storages import MemoryStorage

    from intake.ledger.storage import EventTable

    with pytest.raises(TypeError, match="stands on a journal"):
        EventTable(MemoryStorage(), "events").insert({})


def test_the_base_is_a_tinydb(base):
    assert isinstance(base, EventBase)
    assert len(base) == 12
