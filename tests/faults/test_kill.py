"""A process that records and confirms, killed at any moment: nothing confirmed is lost, nothing is doubled."""

import errno
import os
import random
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest
from ledger_story import STATION, Clock, create, judged, received, reopen

from intake.ledger import Ledger, NotRecorded
from intake.ledger.disk import DiskFile
from intake.ledger.verify import verify

ROUNDS, KILLS = 32, 4
"""Kills in all, and of one ledger; two hundred and more are for `tests/bench`."""

TESTS = Path(__file__).parents[1]


class Piecemeal(DiskFile):
    """Takes a few bytes at a time: a kill then tears a write, which the system would have finished in one go."""

    def append(self, data):
        return super().append(data[:300])


def record_until_killed(folder, out, seed):
    """Acts of 2 to 300 events; after each its last event's id is written to `out`."""
    chance = random.Random(seed)
    with Ledger.open(
        folder, writer=True, now_ms=Clock(), open_file=(DiskFile, Piecemeal)[seed % 2]
    ) as ledger:
        number = 0
        while True:
            number += 1
            size = chance.choice((1, 1, 2, 150))
            act = [f"r{seed}-{number}-{n}" for n in range(size)]
            events = ledger.append([body for item in act for body in (received(item), judged(item))])
            os.write(out, f"{events[-1].seq}\n".encode())


def killed_after(folder, seed, acts, wait_s):
    """The numbers confirmed by a forked recorder that was killed `wait_s` after its first `acts` acts."""
    into, out = os.pipe()
    pid = os.fork()
    if pid == 0:
        try:
            os.close(into)
            record_until_killed(folder, out, seed)
        finally:
            os._exit(1)
    os.close(out)
    with os.fdopen(into, "rb") as pipe:
        lines = [pipe.readline() for _ in range(acts)]
        time.sleep(wait_s)
        os.kill(pid, signal.SIGKILL)
        _, status = os.waitpid(pid, 0)
        assert os.WTERMSIG(status) == signal.SIGKILL
        lines += pipe.read().splitlines(keepends=True)
    return [int(line) for line in lines if line.endswith(b"\n")]


def whole_acts(events):
    """Every item was received and judged, once: no act is there by half."""
    items = [event.body.item for event in events]
    assert items[::2] == items[1::2]
    assert len(set(items)) * 2 == len(items)


@pytest.mark.parametrize("ledger", range(ROUNDS // KILLS))
def test_killed_at_any_moment_nothing_confirmed_is_lost_and_nothing_is_doubled(tmp_path, ledger):
    """The same ledger is killed several times, so that it also goes on behind what a kill left."""
    folder = tmp_path / "l"
    create(folder).close()
    chance = random.Random(ledger)
    known = 0
    for seed in range(KILLS):
        acts = chance.randrange(1, 4)
        told = killed_after(folder, seed, acts, chance.uniform(0.0, 0.02))
        assert len(told) >= acts
        with reopen(folder) as again:
            events = list(again.events())
        assert [event.seq for event in events] == list(range(1, len(events) + 1))
        assert known < max(told) <= len(events)
        whole_acts(events)
        known = len(events)
    assert verify(folder).ok


def test_a_program_of_its_own_killed_in_the_middle_leaves_a_ledger_that_opens(tmp_path):
    folder = tmp_path / "l"
    create(folder).close()
    code = "import sys, pathlib, test_kill; test_kill.record_until_killed(pathlib.Path(sys.argv[1]), 1, 5)"
    env = {
        **os.environ,
        "PYTHONPATH": os.pathsep.join([str(TESTS), str(TESTS / "faults"), str(TESTS.parent)]),
    }
    child = subprocess.Popen([sys.executable, "-c", code, str(folder)], stdout=subprocess.PIPE, env=env)
    told = [int(child.stdout.readline()) for _ in range(20)]
    child.kill()
    told += [int(line) for line in child.stdout.read().splitlines(keepends=True) if line.endswith(b"\n")]
    child.wait()
    with reopen(folder) as ledger:
        events = list(ledger.events())
        assert ledger.heads[STATION].seq >= told[-1]
    whole_acts(events)


@pytest.mark.parametrize("back", [1, 30, 400, 900])
def test_the_torn_end_of_a_killed_write_is_cut_aside_and_the_next_act_follows(tmp_path, back):
    folder = tmp_path / "l"
    with create(folder) as ledger:
        kept = ledger.append([received("a1"), judged("a1")])
        ledger.append([received("a2"), judged("a2"), received("a3")])
    data = (folder / "journal").read_bytes()
    (folder / "journal").write_bytes(data[:-back])
    with Ledger.open(folder) as reader:
        assert tuple(reader.events()) == kept
        assert reader.torn.kept_in is None
    with reopen(folder) as ledger:
        assert ledger.torn.kept_in.read_bytes() == data[ledger.torn.start : -back]
        (event,) = ledger.append([received("a4")])
        assert event.seq == 3
    with reopen(folder) as ledger:
        assert ledger.torn is None
        assert list(ledger.state.items) == ["a1", "a4"]
    assert len(list(folder.glob("cut-*"))) == 1


@pytest.mark.parametrize("step", ["flush", "sync_folder"])
def test_a_torn_end_that_cannot_be_kept_is_not_cut(tmp_path, monkeypatch, step):
    folder = tmp_path / "l"
    with create(folder) as ledger:
        ledger.append([received("a1")])
    data = (folder / "journal").read_bytes()[:-5]
    (folder / "journal").write_bytes(data)

    def full(_):
        raise OSError(errno.ENOSPC, "No space left on device")

    with monkeypatch.context() as patch:
        patch.setattr(f"intake.ledger.journal.{step}", full)
        with pytest.raises(NotRecorded, match="No space left on device"):
            reopen(folder)
        assert (folder / "journal").read_bytes() == data
    with reopen(folder) as ledger:
        assert ledger.torn.kept_in.read_bytes() == data[ledger.torn.start :]
