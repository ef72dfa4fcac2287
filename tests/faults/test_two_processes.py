"""Two processes at one ledger: one writes, the other is told; readers see whole acts only."""

import os
import signal
import time

import pytest
from ledger_story import Clock, create, judged, received, reopen

from intake.errors import LedgerBusy
from intake.ledger import Ledger, fold
from intake.ledger.lock import writer_of


def in_child(work):
    """Runs `work(say)` in a forked process; returns its pid and a file with what it said."""
    into, out = os.pipe()
    pid = os.fork()
    if pid == 0:
        try:
            os.close(into)
            work(lambda text: os.write(out, f"{text}\n".encode()))
        finally:
            os._exit(0)
    os.close(out)
    return pid, os.fdopen(into, encoding="utf-8")


@pytest.fixture
def folder(tmp_path):
    create(tmp_path / "l").close()
    return tmp_path / "l"


def test_while_another_process_writes_a_writer_is_told_which(folder):
    def hold(say):
        with Ledger.open(folder, writer=True, now_ms=Clock(), what="intake serve") as ledger:
            ledger.append([received("a1")])
            say("holding")
            time.sleep(60)

    pid, said = in_child(hold)
    assert said.readline() == "holding\n"
    with pytest.raises(LedgerBusy, match=rf"intake serve \(process {pid}\).*Nothing was changed"):
        reopen(folder)
    assert writer_of(folder) == f"intake serve (process {pid})"
    with Ledger.open(folder) as reader:
        assert list(reader.state.items) == ["a1"]
    os.kill(pid, signal.SIGKILL)
    os.waitpid(pid, 0)
    assert writer_of(folder) is None
    with reopen(folder) as ledger:
        ledger.append([received("a2")])
        assert list(ledger.state.items) == ["a1", "a2"]


def test_of_many_that_want_to_write_at_once_one_does_and_no_event_is_mixed(folder):
    def want(say):
        for _ in range(5):
            try:
                with Ledger.open(folder, writer=True, now_ms=Clock()) as ledger:
                    item = f"p{os.getpid()}-{len(ledger.payloads())}"
                    ledger.append([received(item), judged(item)])
                    say(item)
            except LedgerBusy:
                say("busy")

    children = [in_child(want) for _ in range(4)]
    said = [line.strip() for _, file in children for line in file]
    for pid, _ in children:
        os.waitpid(pid, 0)
    with Ledger.open(folder) as ledger:
        assert sorted(ledger.state.items) == sorted(line for line in said if line != "busy")
    assert len(said) == 20


def test_a_reader_beside_a_busy_writer_always_sees_whole_acts(folder):
    def write(say):
        with Ledger.open(folder, writer=True, now_ms=Clock()) as ledger:
            for number in range(60):
                items = [f"w{number}-{n}" for n in range(number % 7 + 1)]
                ledger.append([body for item in items for body in (received(item), judged(item))])
        say("done")

    pid, said = in_child(write)
    with Ledger.open(folder) as reader:
        deadline = time.monotonic() + 30
        while len(reader.payloads()) < 2 * sum(n % 7 + 1 for n in range(60)) and time.monotonic() < deadline:
            reader.refresh()
            events = list(reader.events())
            assert len(events) % 2 == 0
            assert all(item.resin_verdict for item in reader.state.items.values())
        assert reader.state == fold(reader.events())
        assert len(reader.payloads()) == 2 * sum(n % 7 + 1 for n in range(60))
    assert said.readline() == "done\n"
    os.waitpid(pid, 0)
