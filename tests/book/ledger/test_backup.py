"""A backup is the ledger up to its last whole act; restored it is a table of its own."""

import pytest
from ledger_story import OTHER, STATION, a_day, create, judged, received, reopen

from intake.desk.copies import merge_into, restore
from intake.errors import BadInput, DamagedLedger, Refusal
from intake.ledger import Ledger, fold
from intake.ledger.backup import back_up, known_heads, read_kept
from intake.ledger.merge import merge
from intake.ledger.verify import verify


@pytest.fixture
def folder(tmp_path):
    with create(tmp_path / "l") as ledger:
        a_day(ledger, 40)
    return tmp_path / "l"


def test_a_backup_made_while_the_table_writes_holds_every_confirmed_act(tmp_path):
    with create(tmp_path / "l") as ledger:
        for number in range(5):
            ledger.append([received(f"a{number}"), judged(f"a{number}")])
            kept = back_up(tmp_path / "l", tmp_path / "b")
            assert kept.payloads == ledger.payloads()
            assert known_heads(tmp_path / "b") == ledger.heads == known_heads(tmp_path / "l")


def test_an_act_cut_short_is_not_in_the_backup(folder, tmp_path):
    whole = (folder / "journal").read_bytes()
    with (folder / "journal").open("ab") as file:
        file.write(whole[:50])
    assert back_up(folder, tmp_path / "b").torn.size == 50
    assert (tmp_path / "b").read_bytes() == whole


@pytest.mark.parametrize("content", [b"", b"my letter to the editor\n"])
def test_a_file_that_is_no_older_backup_of_it_is_never_replaced(folder, tmp_path, content):
    other = tmp_path / "b"
    other.write_bytes(content or (folder / "journal").read_bytes().replace(b"a", b"b"))
    before = other.read_bytes()
    with pytest.raises(BadInput, match="older backup of this ledger"):
        back_up(folder, other)
    assert other.read_bytes() == before


@pytest.mark.parametrize("target", ["", "none/b"])
def test_a_backup_that_cannot_be_written_is_told(folder, tmp_path, target):
    with pytest.raises(BadInput, match="Backup"):
        back_up(folder, tmp_path / target)


def test_a_backup_that_knows_more_than_the_ledger_is_kept_and_told(folder, tmp_path):
    back_up(folder, tmp_path / "b")
    lines = (folder / "journal").read_bytes().splitlines(keepends=True)
    cut = max(n for n, line in enumerate(lines) if b" 1/" in line[:24])
    (folder / "journal").write_bytes(b"".join(lines[:cut]))
    with pytest.raises(Refusal, match="its last acts are missing there"):
        back_up(folder, tmp_path / "b")
    found = verify(folder, against={"the backup": known_heads(tmp_path / "b")})
    assert "which the backup knows" in found.findings[0].expected
    merge_into(folder, tmp_path / "b")
    assert verify(folder, against={"the backup": known_heads(tmp_path / "b")}).ok
    assert back_up(folder, tmp_path / "c").payloads == read_kept(tmp_path / "b").payloads


def test_no_backup_is_made_of_a_damaged_ledger(folder, tmp_path):
    data = bytearray((folder / "journal").read_bytes())
    data[900] ^= 1
    (folder / "journal").write_bytes(data)
    with pytest.raises(DamagedLedger):
        back_up(folder, tmp_path / "b")
    assert not (tmp_path / "b").exists()


@pytest.mark.parametrize("source", ["backup", "folder"])
def test_a_restored_ledger_holds_the_same_and_writes_under_a_name_of_its_own(folder, tmp_path, source):
    kept = back_up(folder, tmp_path / "b")
    done = restore(tmp_path / "b" if source == "backup" else folder, tmp_path / "r")
    assert (done.events, done.was, done.torn) == (len(kept.payloads), STATION, 0)
    assert done.station != STATION
    with reopen(tmp_path / "r") as ledger:
        assert (ledger.payloads(), ledger.station) == (kept.payloads, done.station)
        (event,) = ledger.append([received("new")])
        assert (event.station, event.seq) == (done.station, 1)
    assert verify(tmp_path / "r").ok


def test_the_first_table_and_its_restored_copy_go_on_apart_and_merge(folder, tmp_path):
    restore(folder, tmp_path / "r")
    with reopen(folder) as first, reopen(tmp_path / "r") as copy:
        first.append([received("here")])
        copy.append([received("there")])
        merge(first, copy)
        merge(copy, first)
        assert first.state == copy.state == fold(first.events())
        assert {"here", "there"} <= set(first.state.items)


@pytest.mark.parametrize("what", ["a ledger", "a file"])
def test_restoring_over_something_is_refused(folder, tmp_path, what):
    back_up(folder, tmp_path / "b")
    target = folder if what == "a ledger" else tmp_path / "b"
    with pytest.raises(BadInput, match="new or empty folder"):
        restore(tmp_path / "b", target)
    assert verify(folder).ok


@pytest.mark.parametrize("content", [None, b"", b"hello\n"])
def test_what_is_no_backup_is_told_and_nothing_is_made(tmp_path, content):
    if content is not None:
        (tmp_path / "b").write_bytes(content)
    with pytest.raises((BadInput, DamagedLedger)):
        restore(tmp_path / "b", tmp_path / "r")
    assert not (tmp_path / "r").exists()


def test_a_merge_of_folders_only_reads_the_other(folder, tmp_path):
    with create(tmp_path / "o", station=OTHER) as other:
        a_day(other, 20, letters="w")
    before = (tmp_path / "o" / "journal").read_bytes()
    assert len(merge_into(folder, tmp_path / "o").added) == 20
    assert merge_into(folder, tmp_path / "o").added == ()
    assert (tmp_path / "o" / "journal").read_bytes() == before
    with Ledger.open(folder) as ledger:
        assert set(ledger.heads) == {STATION, OTHER}
