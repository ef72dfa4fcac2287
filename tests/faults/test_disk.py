"""Faults below the journal, after the list that SQLite's documentation tests against ("How SQLite Is Tested",
I/O error and crash testing; from memory): a full disk, a failing write, a failing sync, a short write.

After each: the person was told, memory and disk agree, and work goes on when the fault is over.
"""

import errno
import os
import stat

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from ledger_story import FaultyFile, Plug, create, judged, received, reopen

from intake.errors import BadInput, DamagedLedger, IntakeError
from intake.ledger import Ledger, NotRecorded, fold
from intake.ledger.verify import verify

FAULTS = {
    "the disk is full": ({"on_write": errno.ENOSPC}, "No space left on device"),
    "a write fails": ({"on_write": errno.EIO}, "Input/output error"),
    "a sync fails": ({"on_sync": errno.EIO}, "Input/output error"),
    "the quota is used up": ({"on_write": errno.EDQUOT}, "quota"),
    "a write and the cut after it fail": ({"on_write": errno.EIO, "on_cut": errno.EIO}, "Input/output error"),
    "a sync and the cut after it fail": ({"on_sync": errno.EIO, "on_cut": errno.EROFS}, "Input/output error"),
}
CASES = [pytest.param(*case, id=name) for name, case in FAULTS.items()]


@pytest.fixture
def plug():
    return Plug()


@pytest.fixture
def ledger(tmp_path, plug):
    with create(tmp_path / "l", open_file=lambda path: FaultyFile(path, plug)) as ledger:
        ledger.append([received("a1"), judged("a1")])
        yield ledger


def break_it(plug, faults):
    for name, value in faults.items():
        setattr(plug, name, value)


def mend(plug):
    plug.__init__()


def on_disk(ledger):
    """What somebody who opens the same folder now sees."""
    with Ledger.open(ledger.folder) as reader:
        return list(reader.events()), reader.torn


@pytest.mark.parametrize(("faults", "says"), CASES)
def test_the_person_is_told_what_happened_and_that_nothing_is_lost(ledger, plug, faults, says):
    break_it(plug, faults)
    with pytest.raises(NotRecorded, match=f"{says}.*Nothing of this step was recorded") as told:
        ledger.append([received("a2")])
    assert isinstance(told.value, IntakeError)
    assert told.value.exit_code == 1


@pytest.mark.parametrize(("faults", "says"), CASES)
def test_memory_and_disk_agree_and_work_goes_on_when_the_fault_is_over(ledger, plug, faults, says):
    before = ledger.state
    break_it(plug, faults)
    for _ in range(3):
        with pytest.raises(NotRecorded):
            ledger.append([received("a2"), judged("a2")])
    assert ledger.state == before
    mend(plug)
    events = ledger.append([received("a2"), judged("a2")])
    assert [event.seq for event in events] == [3, 4]
    told, torn = on_disk(ledger)
    assert (told, torn) == (list(ledger.events()), None)
    assert fold(told) == ledger.state
    ledger.close()
    assert verify(ledger.folder).ok


@pytest.mark.parametrize(("faults", "says"), [c for c in CASES if "cut" not in c.id])
def test_when_the_disk_can_still_be_cut_nothing_is_left_on_it_at_once(ledger, plug, faults, says):
    size = (ledger.folder / "journal").stat().st_size
    break_it(plug, {**faults, "on_sync": None} if "on_write" in faults else faults)
    with pytest.raises(NotRecorded):
        ledger.append([received("a2")])
    assert (ledger.folder / "journal").stat().st_size == size


@pytest.mark.parametrize(("faults", "says"), CASES)
def test_a_reader_beside_a_failing_writer_sees_no_part_of_a_failed_write(ledger, plug, faults, says):
    if "on_sync" in faults and "on_cut" in faults:
        faults = {"on_write": errno.EIO, **faults}  # else the bytes are whole on the disk: see the next test
    break_it(plug, faults)
    with pytest.raises(NotRecorded):
        ledger.append([received("a2"), judged("a2")])
    assert [event.body.item for event in on_disk(ledger)[0]] == ["a1", "a1"]


def test_a_whole_group_that_could_neither_be_synced_nor_cut_is_cut_before_the_next(ledger, plug):
    break_it(plug, {"on_sync": errno.EIO, "on_cut": errno.EIO})
    with pytest.raises(NotRecorded):
        ledger.append([received("a2")])
    assert len(on_disk(ledger)[0]) == 3  # it stands there, told as not recorded
    mend(plug)
    ledger.append([received("a3")])
    assert [event.body.item for event in on_disk(ledger)[0]] == ["a1", "a1", "a3"]


@pytest.mark.parametrize("part", [1, 17, 18, 100, 500])
def test_a_short_write_is_carried_on_and_nobody_notices(ledger, plug, part):
    plug.short = part
    ledger.append([received("a2"), judged("a2")])
    assert on_disk(ledger) == (list(ledger.events()), None)


@pytest.mark.parametrize("part", [1, 17, 18, 100, 500])
def test_a_short_write_and_then_a_full_disk_leave_nothing(ledger, plug, part):
    before = (ledger.folder / "journal").read_bytes()
    plug.short, plug.on_write = part, errno.ENOSPC
    with pytest.raises(NotRecorded):
        ledger.append([received("a2"), judged("a2")])
    assert (ledger.folder / "journal").read_bytes() == before


class Stop(BaseException):
    """What Ctrl-C is to a program, raised where the test wants it."""


@pytest.mark.parametrize("where", ["before the write", "after the write", "after the sync"])
def test_broken_off_in_the_middle_memory_is_read_anew_from_the_disk(tmp_path, where):
    class Broken(FaultyFile):
        armed = False

        def append(self, data):
            if self.armed and where == "before the write":
                raise Stop
            written = super().append(data)
            if self.armed and where == "after the write":
                raise Stop
            return written

        def sync(self):
            super().sync()
            if self.armed and where == "after the sync":
                raise Stop

    with create(tmp_path / "l", open_file=lambda path: Broken(path, Plug())) as ledger:
        ledger.append([received("a1")])
        Broken.armed = True
        with pytest.raises(Stop):
            ledger.append([received("a2")])
        Broken.armed = False
        kept = len(on_disk(ledger)[0])
        assert len(ledger.payloads()) == kept
        ledger.append([received("a3")])
        assert on_disk(ledger)[0] == list(ledger.events())
        assert fold(ledger.events()) == ledger.state
    assert verify(tmp_path / "l").ok


@given(st.lists(st.sampled_from(["fine", *FAULTS]), min_size=1, max_size=12))
@settings(max_examples=40, deadline=None)
def test_whatever_fails_when_exactly_the_confirmed_acts_are_on_the_disk(tmp_path_factory, day):
    plug = Plug()
    folder = tmp_path_factory.mktemp("f") / "l"
    confirmed = []
    with create(folder, open_file=lambda path: FaultyFile(path, plug)) as ledger:
        for number, what in enumerate(day):
            mend(plug)
            break_it(plug, FAULTS[what][0] if what != "fine" else {})
            try:
                confirmed += ledger.append([received(f"a{number}"), judged(f"a{number}")])
            except NotRecorded:
                assert what != "fine"
            assert list(ledger.events()) == confirmed
        mend(plug)
        confirmed += ledger.append([received("last")])
    with Ledger.open(folder) as again:
        assert list(again.events()) == confirmed


def test_a_file_that_somebody_else_cut_is_told_and_not_written_to(ledger):
    path = ledger.folder / "journal"
    with path.open("r+b") as file:
        file.truncate(100)
    with pytest.raises(DamagedLedger, match=r"up to byte 100\..*another program changed the file"):
        ledger.append([received("a2")])
    assert path.stat().st_size == 100


def test_a_file_that_somebody_else_wrote_to_is_told_and_not_written_to(ledger):
    with (ledger.folder / "journal").open("ab") as file:
        file.write(b"hello\n")
    with pytest.raises(DamagedLedger, match="another program changed the file"):
        ledger.append([received("a2")])


@pytest.mark.parametrize("what", ["create", "open"])
def test_a_folder_that_cannot_be_written_is_told(tmp_path, monkeypatch, what):
    """The superuser may write anywhere, so the refusal is put where the operating system would say it."""
    if what == "open":
        create(tmp_path / "l").close()
    real = os.open

    def refuse(path, flags, *more, **named):
        if str(path).endswith("lock"):
            raise PermissionError(errno.EACCES, "Permission denied", str(path))
        return real(path, flags, *more, **named)

    monkeypatch.setattr(os, "open", refuse)
    with pytest.raises(BadInput, match=r"a folder that can be written \(Permission denied\)"):
        create(tmp_path / "l") if what == "create" else reopen(tmp_path / "l")


def test_a_read_only_folder_can_still_be_read(ledger):
    events = list(ledger.events())
    ledger.close()
    ledger.folder.chmod(stat.S_IRUSR | stat.S_IXUSR)
    try:
        assert on_disk(ledger) == (events, None)
    finally:
        ledger.folder.chmod(stat.S_IRWXU)


def test_a_file_where_the_folder_should_be_is_told(tmp_path):
    (tmp_path / "l").write_text("x")
    with pytest.raises(BadInput, match="a folder that can be written"):
        create(tmp_path / "l")


def test_a_creation_cut_short_leaves_no_ledger_and_can_be_done_again(tmp_path, monkeypatch):
    def fail(fd):
        raise OSError(errno.EIO, "Input/output error")

    with monkeypatch.context() as patch:
        patch.setattr("os.fsync", fail)
        with pytest.raises(BadInput, match="Input/output error"):
            create(tmp_path / "l")
    assert not (tmp_path / "l" / "journal").exists()
    create(tmp_path / "l").close()
    assert verify(tmp_path / "l").ok


def test_an_error_while_reading_is_told(ledger, monkeypatch):
    def broken(self, *_, **__):
        raise OSError(errno.EIO, "Input/output error")

    ledger.close()
    monkeypatch.setattr("pathlib.Path.open", broken)
    with pytest.raises(DamagedLedger, match="The disk cannot read"):
        Ledger.open(ledger.folder)
