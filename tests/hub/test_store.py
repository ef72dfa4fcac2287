"""The hub's tables: made once, only ever added to, and honest about what they hold."""

from concurrent.futures import ThreadPoolExecutor

import pytest
from hub.server import PASSWORD, USER

from intake.errors import Refusal
from intake.hub import open_hub
from intake.hub.failure import HubDown
from intake.hub.row import Cursor, Row
from intake.hub.schema import VERSION


def rows(first, last, station="QT-3f9a1c", text="as it was written €"):
    return [
        Row(station=station, seq=n, id=f"{station}.{n}", hlc=f"{n:013d}-00000", payload=f"{n} {text}".encode())
        for n in range(first, last + 1)
    ]  # fmt: skip


def test_the_tables_are_made_once(url, sql):
    for _ in range(2):
        open_hub(url).close()
    assert sql("select version from hub") == [(VERSION,)]
    columns = sql(
        "select column_name, data_type from information_schema.columns where table_schema = current_schema() "
        "and table_name = 'events' order by 1"
    )
    assert columns == [
        ("hlc", "text"), ("id", "text"), ("payload", "bytea"), ("seq", "bigint"), ("station", "text")
    ]  # fmt: skip


def test_several_tables_may_come_first_at_once(server, numbers):
    # a dozen rounds: the database has three ways to say "somebody else is making that table", one of them rare
    for _ in range(12):
        url = server.schema(f"first_{next(numbers)}")
        with ThreadPoolExecutor(8) as pool:
            opened = list(pool.map(open_hub, [url] * 8))
        assert [hub.cursors() for hub in opened] == [{}] * 8
        for hub in opened:
            hub.close()


def test_bytes_come_back_as_they_were_sent(hub):
    sent = rows(1, 3, text="\u0000 “ü” \U0001f9f4 \\x00 %s")
    assert hub.send(sent) == 3
    assert hub.read("QT-3f9a1c", 1, 3) == [(row.seq, row.payload) for row in sent]


@pytest.mark.parametrize(("first", "last", "found"), [(1, 5, 5), (2, 3, 2), (5, 9, 1), (6, 9, 0), (3, 2, 0)])
def test_a_range_is_read_as_far_as_it_is_there(hub, first, last, found):
    hub.send(rows(1, 5))
    assert len(hub.read("QT-3f9a1c", first, last)) == found


def test_what_is_there_is_not_added_again(hub, sql):
    assert hub.send(rows(1, 4)) == 4
    assert hub.send(rows(3, 6)) == 2
    assert hub.send(rows(1, 6)) == 0
    assert sql("select count(*) from events") == [(6,)]


@pytest.mark.parametrize("wrong", [1, 3, 5])
def test_another_event_under_the_same_number_adds_nothing_of_the_batch(hub, sql, wrong):
    hub.send([row for row in rows(1, 5) if row.seq != wrong])
    hub.send(rows(wrong, wrong, text="told otherwise"))
    with pytest.raises(Refusal, match=rf"event {wrong} of table QT-3f9a1c, and the two differ"):
        hub.send(rows(1, 9))
    assert sql("select max(seq) from events") == [(5,)]


def test_cursors_say_how_far_each_table_is_known_and_whether_rows_are_missing(hub, sql):
    assert hub.cursors() == {}
    hub.send(rows(1, 4))
    hub.send(rows(1, 7, station="WB-77b0d2"))
    sql("delete from events where station = 'WB-77b0d2' and seq = 3")
    assert hub.cursors() == {"QT-3f9a1c": Cursor(seq=4, whole=True), "WB-77b0d2": Cursor(seq=7, whole=False)}


def test_two_that_send_the_same_rows_at_once_add_each_once(url, sql):
    def send(_):
        with open_hub(url) as mine:
            return sum(mine.send(rows(n, n + 49)) for n in range(1, 500, 50))

    with ThreadPoolExecutor(4) as pool:
        assert sum(pool.map(send, range(4))) == 500
    assert sql("select count(*), max(seq) from events") == [(500, 500)]


@pytest.mark.parametrize(
    "other",
    [
        "create table events (price numeric)",
        "create table hub (spokes integer)",
        "create table hub (version integer)",
        "create view events as select 1 as tickets",
    ],
)
def test_tables_of_another_program_are_left_alone(url, sql, other):
    sql(other)
    before = sql(
        "select table_name, column_name from information_schema.columns where table_schema = current_schema()"
    )
    with pytest.raises(Refusal, match="a database of its own"):
        open_hub(url)
    after = sql(
        "select table_name, column_name from information_schema.columns where table_schema = current_schema()"
    )
    assert after == before


def test_a_newer_layout_is_refused(url, sql):
    open_hub(url).close()
    sql("insert into hub values (2)")
    with pytest.raises(Refusal, match=r"layout 2; this program knows 1"):
        open_hub(url)


def test_who_may_only_read_is_told_so_without_names(server, url, hub, sql):
    place = url.rpartition("%3D")[2]
    hub.send(rows(1, 2))
    sql("create role visitor login password 'Lantern_4'")
    sql(f"grant usage on schema {place} to visitor")
    sql("grant select on hub, events to visitor")
    with open_hub(server.url(user="visitor", password="Lantern_4", schema=place)) as theirs:
        assert theirs.cursors() == {"QT-3f9a1c": Cursor(seq=2, whole=True)}
        with pytest.raises(HubDown, match="permission denied for table events") as told:
            theirs.send(rows(3, 3))
    assert "visitor" not in str(told.value)


def test_names_in_what_the_database_says_are_blotted_out(hub, sql):
    sql("create function full_up() returns trigger language plpgsql as "
        "$$ begin raise exception 'no room for \"%\"', current_user; end $$")  # fmt: skip
    sql("create trigger full_up before insert on events execute function full_up()")
    with pytest.raises(HubDown, match=r"failed: no room for …[.]") as told:
        hub.send(rows(1, 1))
    assert USER not in str(told.value)


def test_names_in_what_the_driver_says_are_blotted_out(server):
    server.make("create role crowd login password 'Lantern_4' connection limit 0")
    with pytest.raises(HubDown, match=r"too many connections for role …[.]") as told:
        open_hub(server.url(user="crowd", password="Lantern_4"))
    assert "crowd" not in str(told.value)


@pytest.mark.parametrize(
    ("given", "cause"),
    [
        ({"password": "Wrong_tide_9"}, "the name or the password was not accepted"),
        ({"user": "nobody_here", "password": "Wrong_tide_9"}, "the name or the password was not accepted"),
        ({"database": "no_such_quay"}, 'database "no_such_quay" does not exist'),
    ],
)
def test_a_hub_that_lets_nobody_in_says_why_and_no_secret(server, given, cause):
    with pytest.raises(HubDown) as told:
        open_hub(server.url(**given))
    text = str(told.value)
    assert cause in text
    assert "\n" not in text
    assert not [secret for secret in (USER, PASSWORD, "nobody_here", "Wrong_tide_9") if secret in text]


def test_a_connection_that_is_cut_in_the_middle_is_one_sentence(hub, sql):
    hub.send(rows(1, 3))
    sql("select pg_terminate_backend(pid) from pg_stat_activity where application_name = 'intake' and "
        "datname = current_database()")  # fmt: skip
    with pytest.raises(HubDown, match="Nothing at this table was lost"):
        hub.send(rows(4, 5))
    assert sql("select count(*) from events") == [(3,)]
