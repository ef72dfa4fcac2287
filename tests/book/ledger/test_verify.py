"""`verify` finds what is wrong, names the first bad byte, and repairs nothing but a torn tail."""

import random
import shutil

import pytest
from ledger_story import EVERY_KIND, STATION, a_day, create, judged, opened, received, reopen

from intake.errors import BadInput, DamagedLedger, LedgerBusy
from intake.ledger import Ledger
from intake.ledger.envelope import canonical, parse
from intake.ledger.events import Placed, SplitOff, Undone
from intake.ledger.records import frame
from intake.ledger.verify import verify


@pytest.fixture(scope="module")
def day(tmp_path_factory):
    folder = tmp_path_factory.mktemp("day") / "l"
    with create(folder) as ledger:
        a_day(ledger, 40)
    return folder


@pytest.fixture
def folder(day, tmp_path):
    return shutil.copytree(day, tmp_path / "l")


def cut(folder, length):
    with (folder / "journal").open("r+b") as file:
        file.truncate(length)


def flip(folder, place):
    data = bytearray((folder / "journal").read_bytes())
    data[place] ^= 4
    (folder / "journal").write_bytes(data)


def test_a_whole_ledger_has_nothing_wrong(folder):
    found = verify(folder)
    assert (found.ok, found.events, found.station, found.damage, found.torn) == (True, 40, STATION, (), None)
    assert found.good == found.size == (folder / "journal").stat().st_size
    assert found.heads[STATION].seq == 40


def test_a_ledger_with_every_kind_of_event_has_nothing_wrong_but_what_the_day_did(tmp_path):
    with create(tmp_path / "l") as ledger:
        ledger.append(EVERY_KIND)
    assert [str(f) for f in verify(tmp_path / "l").findings] == []


@pytest.mark.parametrize("back", [1, 2, 40, 200])
def test_a_torn_tail_is_told_cut_on_demand_and_kept(folder, back):
    data = (folder / "journal").read_bytes()
    cut(folder, len(data) - back)
    found = verify(folder)
    assert not found.ok
    start, size = found.torn.start, found.torn.size
    assert (found.good, start + size) == (start, len(data) - back)
    assert verify(folder) == found  # looking changes nothing
    mended = verify(folder, repair=True)
    assert mended.ok
    assert mended.torn.kept_in.read_bytes() == data[start : start + size]
    assert (folder / "journal").read_bytes() == data[:start]
    assert verify(folder).ok


@pytest.mark.parametrize("seed", range(12))
def test_damage_is_told_by_its_first_byte_and_never_touched(folder, seed):
    data = (folder / "journal").read_bytes()
    place = random.Random(seed).randrange(len(data))
    flip(folder, place)
    hurt = (folder / "journal").read_bytes()
    found = verify(folder, repair=True)
    assert found.damage[0].start == data[:place].rfind(b"\n") + 1
    assert found.damage[0].line == data[:place].count(b"\n") + 1
    assert not found.ok
    assert (folder / "journal").read_bytes() == hurt
    assert list(folder.glob("cut-*")) == []
    for writer in (False, True):
        with pytest.raises(DamagedLedger, match=f"up to byte {found.damage[0].start}"):
            Ledger.open(folder, writer=writer, now_ms=lambda: 1)


def test_damage_in_the_middle_says_how_much_reads_behind_it(folder):
    flip(folder, 1000)
    found = verify(folder)
    assert found.events < 40
    assert found.after > 0


def test_damage_and_a_torn_tail_together_are_both_told_and_nothing_is_cut(folder):
    flip(folder, 1000)
    cut(folder, (folder / "journal").stat().st_size - 3)
    size = (folder / "journal").stat().st_size
    found = verify(folder, repair=True)
    assert found.damage and found.torn.kept_in is None  # noqa: PT018  one thing: nothing was repaired
    assert (folder / "journal").stat().st_size == size


def test_loss_of_the_last_acts_is_not_seen_but_the_heads_tell(folder):
    """The text of `verify` says so: from the journal alone nobody can know what stood behind its end."""
    before = verify(folder).heads[STATION]
    lines = (folder / "journal").read_bytes().splitlines(keepends=True)
    (folder / "journal").write_bytes(b"".join(lines[:3]))
    found = verify(folder)
    assert found.ok
    assert found.heads[STATION].seq == 2 < before.seq


def test_a_chain_that_was_cut_and_stitched_is_damage(folder):
    lines = (folder / "journal").read_bytes().splitlines(keepends=True)
    single = next(n for n, line in enumerate(lines[3:-1], 3) if line[18:22] == b"1/1 ")
    (folder / "journal").write_bytes(b"".join(lines[:single] + lines[single + 1 :]))
    found = verify(folder)
    assert "a gap or a repeat" in found.damage[0].why
    assert found.damage[0].start == sum(map(len, lines[:single]))
    assert found.damage[0].line == single + 1


def test_another_spelling_of_an_event_is_found(tmp_path):
    with create(tmp_path / "l") as ledger:
        ledger.append([received("a1")])
        payload = ledger.payloads()[0]
    header = (tmp_path / "l" / "journal").read_bytes().splitlines(keepends=True)[0]
    (tmp_path / "l" / "journal").write_bytes(header + frame([payload.replace(b'"v":1', b'"v": 1')]))
    (finding,) = verify(tmp_path / "l").findings
    assert (finding.where, finding.got) == (f"Event {STATION}.1", "another spelling")


@pytest.mark.parametrize(
    ("act", "says"),
    [
        ([received("a1"), opened(), Placed(item="a1", bin="QT-01")], "'no verdict'. Expected accept"),
        (
            [received("a1"), judged("a1", "refuse"), opened(), Placed(item="a1", bin="QT-01")],
            "'refuse'. Expected acc",
        ),
        ([received("a1", gross_g=5.0, tare_g=9.0)], "'-4 g'. Expected 0 g or more after the tare"),
        (
            [received("a1", gross_g=60.0), received("c1"), SplitOff(item="c1", parent="a1", mass_g=70.0)],
            "'70 g of 60 g'. Expected parts that weigh no more",
        ),
        (
            [
                received("a1"),
                received("a2"),
                SplitOff(item="a1", parent="a2", mass_g=1.0),
                SplitOff(item="a2", parent="a1", mass_g=1.0),
            ],
            "'a part of itself'",
        ),
        ([Undone(event="QT-3f9a1c.99")], "'QT-3f9a1c.99'. Expected an event that is in the ledger"),
        ([Placed(item="a1", bin="QT-01")], "an item that was received before"),
    ],
)
def test_what_cannot_be_true_of_a_table_is_found(tmp_path, act, says):
    with create(tmp_path / "l") as ledger:
        ledger.append(act)
    found = verify(tmp_path / "l")
    assert not found.ok
    assert any(says in str(finding) for finding in found.findings), found.findings


@pytest.mark.parametrize("change", [{"v": 2}, {"kind": "Shredded"}, {"body": {"item": 7}}])
def test_an_event_that_cannot_be_read_is_found_and_said_to_be_kept(tmp_path, change):
    with create(tmp_path / "l") as ledger:
        ledger.append([received("a1")])
        doc = parse(ledger.payloads()[0])
    header = (tmp_path / "l" / "journal").read_bytes().splitlines(keepends=True)[0]
    (tmp_path / "l" / "journal").write_bytes(header + frame([canonical({**doc, **change})]))
    found = verify(tmp_path / "l")
    assert found.unread == (f"{STATION}.1",)
    assert "it is kept but not counted" in found.findings[0].expected


def test_while_somebody_writes_a_tail_is_not_wrong_and_is_not_cut(folder):
    with reopen(folder) as writer:
        with (folder / "journal").open("ab") as file:
            file.write(b"0000")
        found = verify(folder)
        assert found.ok
        assert found.writer.startswith("intake (process")
        with pytest.raises(LedgerBusy):
            verify(folder, repair=True)
        assert writer.station == STATION


@pytest.mark.parametrize("name", ["nowhere", "journal"])
def test_where_there_is_no_ledger_that_is_told(tmp_path, name):
    with pytest.raises(BadInput, match="a folder that holds a ledger"):
        verify(tmp_path / name)


@pytest.mark.parametrize("length", [0, 5, 20])
def test_a_file_cut_inside_its_header_has_no_header(folder, length):
    cut(folder, length)
    found = verify(folder)
    assert (found.damage[0].start, found.ok) == (0, False)
    assert verify(folder, repair=True).damage
    assert (folder / "journal").stat().st_size == length


def test_one_bad_record_of_a_long_act_is_told_once_and_the_rest_of_the_act_is_counted(tmp_path):
    with create(tmp_path / "l") as ledger:
        ledger.append(EVERY_KIND)
    lines = (tmp_path / "l" / "journal").read_bytes().splitlines(keepends=True)
    flip(tmp_path / "l", len(b"".join(lines[:3])) + 40)  # in the third record of the act, behind the header
    found = verify(tmp_path / "l")
    assert [bad.line for bad in found.damage] == [4]
    assert found.lost_with_it == len(EVERY_KIND) - 3
    assert found.events == 0
