"""Tables that were apart end at the same state, whoever comes first, however often, however late."""

import shutil
from concurrent.futures import ThreadPoolExecutor
from itertools import permutations

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from ledger_story import BODIES, Clock, a_day, received, reopen

from intake.desk import sync as act
from intake.desk.sync import exchange, sync_folder
from intake.errors import BadInput, LedgerBusy, Refusal
from intake.hub import open_hub
from intake.hub.failure import HubDown
from intake.ledger import Ledger, fold
from intake.ledger.events import Undone
from intake.ledger.verify import verify


def union(*ledgers):
    return fold(event for ledger in ledgers for event in ledger.events())


def test_two_tables_come_to_the_same_state(hub, table):
    quay, barge = table(0), table(1)
    a_day(quay, 30, seed=1, letters="a")
    a_day(barge, 20, seed=2, letters="b")
    whole = union(quay, barge)
    assert (exchange(quay, hub).sent, exchange(barge, hub).taken, exchange(quay, hub).taken) == (30, 30, 20)
    assert quay.state == barge.state == whole
    assert sorted(quay.payloads()) == sorted(barge.payloads())


def test_syncing_again_changes_nothing(hub, table, sql):
    quay, barge = table(0), table(1)
    a_day(quay, 12)
    a_day(barge, 9, letters="b")
    for ledger in (quay, barge, quay):
        exchange(ledger, hub)
    before = quay.payloads(), sql("select * from events order by station, seq")
    for ledger in (quay, barge):
        again = exchange(ledger, hub)
        assert (again.sent, again.taken) == (0, 0)
        assert again.stations == {quay.station: 12, barge.station: 9}
    assert (quay.payloads(), sql("select * from events order by station, seq")) == before


@pytest.mark.parametrize("order", permutations(range(3)))
def test_the_order_of_syncing_does_not_matter(hub, table, order):
    tables = [table(n) for n in range(3)]
    for n, ledger in enumerate(tables):
        a_day(ledger, 8 + n, seed=n, letters="aab"[n])
    whole = union(*tables)
    for n in (*order, *order):
        exchange(tables[n], hub)
    assert [ledger.state for ledger in tables] == [whole] * 3


def test_a_third_table_joins_late_and_knows_all(hub, table):
    quay, barge = table(0), table(1)
    a_day(quay, 15)
    a_day(barge, 11, letters="b")
    for ledger in (quay, barge):
        exchange(ledger, hub)
    late = table(2)
    assert exchange(late, hub).taken == 26
    assert late.state == barge.state == union(quay, barge)


def test_what_one_table_undoes_of_another_is_undone_at_both(hub, table):
    quay, barge = table(0), table(1)
    (event,) = quay.append([received("a1")])
    exchange(quay, hub)
    exchange(barge, hub)
    barge.append([Undone(event=event.id)])
    exchange(barge, hub)
    exchange(quay, hub)
    assert "a1" not in quay.state.items
    assert quay.state == barge.state


def test_events_that_came_by_another_way_are_not_doubled(hub, table, sql):
    quay, barge = table(0), table(1)
    a_day(quay, 10)
    barge.adopt(quay.payloads())
    assert (exchange(barge, hub).sent, exchange(quay, hub).sent) == (10, 0)
    assert sql("select count(*) from events") == [(10,)]


@settings(max_examples=8, deadline=None, suppress_health_check=list(HealthCheck))
@given(
    st.lists(
        st.tuples(st.integers(0, 1), st.lists(BODIES, min_size=1, max_size=4), st.booleans()), max_size=8
    )
)
def test_whatever_happens_the_state_is_the_fold_of_the_union(server, numbers, tmp_path_factory, days):
    url = server.schema(f"days_{next(numbers)}")
    folder = tmp_path_factory.mktemp("days")
    tables = [
        Ledger.create(folder / s, station=s, now_ms=Clock(step=n + 1))
        for n, s in enumerate(("QT-3f9a1c", "WB-77b0d2"))
    ]
    with open_hub(url) as hub:
        for at, bodies, syncs in days:
            tables[at].append(bodies)
            if syncs:
                exchange(tables[at], hub)
        whole = union(*tables)
        for at in (0, 1, 0):
            exchange(tables[at], hub)
    assert [ledger.state for ledger in tables] == [whole, whole]
    for ledger in tables:
        ledger.close()


def test_a_restored_copy_that_went_on_under_the_same_name_is_refused(hub, table, tmp_path, sql):
    quay = table(0)
    a_day(quay, 10)
    shutil.copytree(quay.folder, tmp_path / "copy")
    quay.append([received("a90")])
    exchange(quay, hub)
    with reopen(tmp_path / "copy") as copy:
        copy.append([received("a91"), received("a92")])
        before = copy.payloads(), sql("select * from events order by seq")
        with pytest.raises(Refusal, match=r"event 11 of table QT-3f9a1c, and the two differ"):
            exchange(copy, hub)
        assert (copy.payloads(), sql("select * from events order by seq")) == before
        assert "a91" in copy.state.items


@pytest.mark.parametrize(("ours", "theirs"), [(1, 3), (3, 1), (2, 2)])
def test_a_copy_is_found_out_whichever_went_on_longer_and_nothing_else_is_sent(
    hub, table, tmp_path, sql, ours, theirs
):
    quay, barge = table(0), table(3)
    a_day(quay, 4)
    a_day(barge, 5, letters="b")
    shutil.copytree(quay.folder, tmp_path / "copy")
    quay.append([received(f"a9{n}") for n in range(theirs)])
    exchange(quay, hub)
    with reopen(tmp_path / "copy") as copy:
        copy.adopt(barge.payloads())
        copy.append([received(f"a8{n}") for n in range(ours)])
        with pytest.raises(Refusal, match="went on under the same name"):
            exchange(copy, hub)
    assert sql("select distinct station from events") == [(quay.station,)]


def test_a_restored_copy_that_did_not_go_on_gets_its_lost_events_back(hub, table, tmp_path):
    quay = table(0)
    a_day(quay, 10)
    shutil.copytree(quay.folder, tmp_path / "copy")
    quay.append([received("a90")])
    exchange(quay, hub)
    with reopen(tmp_path / "copy") as copy:
        assert exchange(copy, hub).taken == 1
        assert copy.state == quay.state
        copy.append([received("a91")])
        assert exchange(copy, hub).sent == 1
    assert exchange(quay, hub).taken == 1


def test_rows_that_somebody_deleted_are_filled_in_again(hub, table, sql):
    quay = table(0)
    a_day(quay, 20)
    exchange(quay, hub)
    sql("delete from events where seq in (3, 4, 20)")
    late = table(1)
    with pytest.raises(Refusal, match="a gap or a repeat"):
        exchange(late, hub)
    assert late.state.items == {}
    assert exchange(quay, hub).sent == 3
    assert exchange(late, hub).taken == 20
    assert late.state == quay.state


def test_a_hub_restored_from_an_older_copy_is_filled_up(hub, table, sql):
    quay = table(0)
    a_day(quay, 12)
    exchange(quay, hub)
    sql("delete from events where seq > 5")
    assert exchange(quay, hub).sent == 7
    assert sql("select count(*), max(seq) from events") == [(12, 12)]


@pytest.mark.parametrize(
    "setting",
    [
        "default_transaction_isolation = 'serializable'",
        "default_transaction_deferrable = on",
        "bytea_output = 'escape'",
    ],
)
def test_a_database_with_its_own_settings_serves_as_well(server, numbers, table, setting):
    name = f"set_{next(numbers)}"
    server.make(f"create database {name}")
    server.make(f"alter database {name} set {setting}")
    test_four_tables_that_sync_at_once_all_come_to_the_same(server.url(name), table)


def test_a_database_of_another_encoding_keeps_every_byte(server, numbers, table):
    name = f"ascii_{next(numbers)}"
    server.make(f"create database {name} encoding 'SQL_ASCII' template template0")
    quay, barge = table(0), table(1)
    quay.append([received("a1", note="Ölkanister “blau” \U0001f9f4")])
    with open_hub(server.url(name)) as hub:
        exchange(quay, hub)
        exchange(barge, hub)
    assert barge.state == quay.state


@pytest.mark.parametrize(
    "payload",
    [b"", b"{", b"\xff\xfe", b"[1]", b"NaN", b'{"v":1}', b"[" * 100_000, b'{"seq":' + b"9" * 5_000 + b"}"],
    ids=["empty", "open", "no-utf8", "list", "nan", "lacking", "deep", "endless"],
)
def test_what_is_no_event_is_not_taken(hub, table, sql, payload):
    quay, barge = table(0), table(1)
    a_day(quay, 6)
    exchange(quay, hub)
    sql("update events set payload = %s where seq = 4", payload)
    with pytest.raises(Refusal):
        exchange(barge, hub)
    assert barge.payloads() == ()
    assert verify(barge.folder).ok


def test_an_event_changed_at_the_hub_is_not_taken(hub, table, sql):
    quay, barge = table(0), table(1)
    quay.append([received("a1", gross_g=12.0), received("a2")])
    exchange(quay, hub)
    sql(
        "update events set payload = convert_to(replace(convert_from(payload, 'UTF8'), '12.0', '99.0'), 'UTF8')"
    )
    with pytest.raises(Refusal, match="does not carry the hash of event 1"):
        exchange(barge, hub)
    assert barge.payloads() == ()


def test_batches_of_every_size_come_to_the_same(hub, table, monkeypatch):
    monkeypatch.setattr(act, "BATCH", 7)
    quay = table(0)
    a_day(quay, 50)
    assert exchange(quay, hub).sent == 50
    barge = table(1)
    assert exchange(barge, hub).taken == 50
    assert barge.state == quay.state


def test_four_tables_that_sync_at_once_all_come_to_the_same(url, table):
    tables = [table(n) for n in range(4)]
    for n, ledger in enumerate(tables):
        a_day(ledger, 40, seed=n, letters="abcd"[n])
    for ledger in tables[1:]:
        ledger.adopt(tables[0].payloads())  # so that all four send the same 40 rows as well
    whole = union(*tables)

    def run(ledger):
        with open_hub(url) as mine:
            return exchange(ledger, mine).sent

    with ThreadPoolExecutor(4) as pool:
        assert sum(pool.map(run, tables)) == 160
        assert sum(pool.map(run, tables)) == 0
    assert [ledger.state for ledger in tables] == [whole] * 4


def test_ten_thousand_events_pass(hub, table):
    quay, barge = table(0), table(1)
    quay.append([received(f"a{n}", gross_g=float(n % 90)) for n in range(10_000)])
    assert exchange(quay, hub).sent == 10_000
    assert exchange(barge, hub).taken == 10_000
    assert barge.heads == quay.heads
    assert barge.state == quay.state


def test_a_server_that_restarts_loses_nothing(server, url, table):
    quay, barge = table(0), table(1)
    a_day(quay, 10)
    with open_hub(url) as hub:
        exchange(quay, hub)
        server.stop()
        quay.append([received("a90")])
        with pytest.raises(HubDown):
            exchange(quay, hub)
        server.start()
    with open_hub(url) as hub:
        assert exchange(quay, hub).sent == 1
        assert exchange(barge, hub).taken == 11
    assert barge.state == quay.state


def test_a_folder_is_synced_as_the_table_it_belongs_to(hub, table):
    quay, barge = table(0), table(1)
    a_day(quay, 5)
    exchange(quay, hub)
    barge.close()
    assert sync_folder(barge.folder, hub).stations == {quay.station: 5}
    assert sync_folder(barge.folder, hub).taken == 0


def test_a_ledger_that_is_open_elsewhere_is_not_synced(hub, table):
    with pytest.raises(LedgerBusy):
        sync_folder(table(0).folder, hub)


def test_a_folder_without_a_ledger_is_refused(hub, tmp_path):
    with pytest.raises(BadInput, match="a folder that holds a ledger"):
        sync_folder(tmp_path, hub)
