"""A snapshot saves time and proves nothing: deleted, damaged, foreign or old, the journal says the same."""

import dataclasses

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from ledger_story import BODIES, EVERY_KIND, STATION, Clock, a_day, create, received, reopen

from intake.ledger import Ledger, aside, fold
from intake.ledger.draft import ItemDraft
from intake.ledger.events import Undone
from intake.ledger.kept_fold import DERIVED, KEPT, KeptFolding
from intake.ledger.snapshot import NAME, NotUsableError, read_snapshot
from intake.ledger.state import ItemState
from intake.ledger.verify import verify


@pytest.fixture(autouse=True)
def _often(monkeypatch):
    """A snapshot after every few events, so that a short day has one."""
    monkeypatch.setattr(aside, "EVERY", 1)


@pytest.fixture
def folder(tmp_path):
    with create(tmp_path / "l") as ledger:
        ledger.append(EVERY_KIND)
        a_day(ledger, 60)
    return tmp_path / "l"


def says(folder):
    """What a reader sees: the state, the events, the heads, and whether a snapshot was of use."""
    with Ledger.open(folder) as ledger:
        used = ledger._aside._kept > 0
        assert ledger.state == fold(ledger.events())
        return ledger.state, ledger.payloads(), ledger.heads, used, ledger.notes


def test_a_writer_leaves_a_snapshot_when_it_closes_and_opening_uses_it(folder):
    state, payloads, heads, used, notes = says(folder)
    assert (used, notes) == (True, ())
    (folder / NAME).unlink()
    assert says(folder) == (state, payloads, heads, False, ())


def test_every_field_of_an_item_has_its_place_in_the_draft():
    assert [f.name for f in dataclasses.fields(ItemDraft)] == [f.name for f in dataclasses.fields(ItemState)]


def test_everything_that_folding_holds_is_put_aside_or_follows_from_it():
    assert set(vars(KeptFolding())) == set(KEPT) | DERIVED


@pytest.mark.parametrize("more", [1, 5])
def test_what_came_after_the_snapshot_is_read_from_the_journal(folder, more, monkeypatch):
    monkeypatch.setattr(aside, "EVERY", 1000)
    with reopen(folder) as ledger:
        ledger.append([received(f"late{n}") for n in range(more)])
        ledger.append([Undone(event=f"{STATION}.2")])
    state, payloads, _, used, _ = says(folder)
    assert used
    assert f"late{more - 1}" in state.items
    (folder / NAME).unlink()
    assert says(folder)[:2] == (state, payloads)


@pytest.mark.parametrize("where", [0, 9, 12, 25, 400, -2])
def test_a_damaged_snapshot_is_told_and_not_used(folder, where):
    whole = says(folder)
    data = bytearray((folder / NAME).read_bytes())
    data[where] ^= 1
    (folder / NAME).write_bytes(data)
    state, payloads, heads, used, notes = says(folder)
    assert (state, payloads, heads, used) == (*whole[:3], False)
    assert notes == (
        "The snapshot of the ledger was not used: it is not as it was written. Nothing is lost by that.",
    )


@pytest.mark.parametrize(
    "content", [b"", b"snapshot", b"snapshot 1 00000000\n", b"\xff\n\n", b"snapshot 2 00000000\n"]
)
def test_what_is_no_snapshot_is_not_used(folder, content):
    whole = says(folder)
    (folder / NAME).write_bytes(content)
    assert says(folder)[:3] == whole[:3]


@pytest.mark.parametrize("step", [61, 173])
def test_a_flipped_bit_of_the_journal_is_found_though_a_snapshot_is_there(folder, step):
    from intake.errors import DamagedLedger

    data = (folder / "journal").read_bytes()
    size = read_snapshot(folder).size
    for at in range(0, size, step):
        (folder / "journal").write_bytes(data[:at] + bytes([data[at] ^ 4]) + data[at + 1 :])
        with pytest.raises(DamagedLedger):
            Ledger.open(folder)


def test_whole_acts_lost_at_the_end_are_told_at_every_opening_until_the_snapshot_is_deleted(folder):
    (folder / "journal").write_bytes(
        _without_last((folder / "journal").read_bytes().splitlines(keepends=True))
    )
    for _ in range(2):
        with reopen(folder) as ledger:
            assert "are missing here" in ledger.notes[0]
    found = verify(folder)
    assert not found.ok
    assert "which the snapshot beside the journal knows" in found.findings[0].expected
    (folder / NAME).unlink()
    with reopen(folder) as ledger:
        assert ledger.notes == ()
    assert not any("snapshot" in finding.expected for finding in verify(folder).findings)


def _without_last(lines):
    """The journal's lines without its last group."""
    kept = list(lines)
    while b" 1/" not in kept.pop():
        pass
    return b"".join(kept)


def test_a_tail_that_was_lost_and_written_anew_is_another_history(folder, monkeypatch):
    (folder / "journal").write_bytes(
        _without_last((folder / "journal").read_bytes().splitlines(keepends=True))
    )
    monkeypatch.setattr(aside, "EVERY", 1000)
    with reopen(folder) as ledger:
        ledger.append([received(f"new{n}") for n in range(9)])
    assert any("another event" in finding.got for finding in verify(folder).findings)


def test_the_snapshot_of_another_ledger_is_told_and_not_used(folder, tmp_path):
    with create(tmp_path / "o", station="WB-77b0d2") as other:
        a_day(other, 30)
    whole = says(folder)
    (folder / NAME).write_bytes((tmp_path / "o" / NAME).read_bytes())
    state, *_, used, notes = says(folder)
    assert (state, used) == (whole[0], False)
    assert "WB-77b0d2" in notes[0]


def test_another_program_folds_anew(folder, monkeypatch):
    monkeypatch.setattr(aside, "program", lambda: "2.0 another")
    assert says(folder)[3:] == (False, ())


def test_a_full_disk_keeps_nobody_from_closing(tmp_path, monkeypatch):
    def full(*_):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("intake.ledger.snapshot.write_durably", full)
    with create(tmp_path / "l") as ledger:
        a_day(ledger, 20)
    assert not (tmp_path / "l" / NAME).exists()
    assert says(tmp_path / "l")[3] is False


def test_an_item_looked_at_twice_is_the_same_value(folder):
    with Ledger.open(folder) as ledger:
        items = ledger.state.items
        assert all(items[name] is items[name] for name in items)
        assert repr(items).startswith("Items({'a1'")
        with pytest.raises(KeyError):
            items["nobody"]


def test_what_cannot_be_read_says_so(tmp_path):
    (tmp_path / NAME).mkdir()
    with pytest.raises(NotUsableError, match="cannot be read"):
        read_snapshot(tmp_path)


@given(st.lists(st.tuples(st.lists(BODIES, min_size=1, max_size=4), st.booleans()), max_size=8))
@settings(max_examples=30)
def test_opened_with_a_snapshot_or_without_the_state_is_the_same(tmp_path_factory, days):
    folder = tmp_path_factory.mktemp("s") / "l"
    clock = Clock()
    create(folder, clock=clock).close()
    for act, kept in days:
        with reopen(folder, clock=clock) as ledger:
            ledger.append(act)
            assert ledger.state == fold(ledger.events())
            ledger._aside._kept = 0 if kept else len(ledger.payloads())
    with Ledger.open(folder) as ledger:
        assert ledger.state == fold(ledger.events())
