"""The ledger's speed beside what it stands on, in one run: `python tests/bench/ledger.py [--folder DIR]`.

Prints one JSON document: every figure with its goal, what it was measured against, and whether it was reached.
Durable writes are measured in turns with a bare write and fsync of the same bytes, so that a busy disk hits both,
and given as medians; work without a disk is CPU time, the best of a few rounds. Refuses a folder in memory.
"""

import argparse
import gc
import json
import os
import shutil
import sqlite3
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from itertools import islice
from pathlib import Path
from typing import Any

ROOT = Path(__file__).parents[2]
sys.path[:0] = [str(ROOT), str(ROOT / "tests"), str(Path(__file__).parent)]

import orjson  # noqa: E402
from ledger_story import Clock  # noqa: E402
from table_day import STATION, bodies, record  # noqa: E402
from tinydb import TinyDB  # noqa: E402

from intake.desk.clock import now_ms  # noqa: E402
from intake.ledger import Ledger  # noqa: E402
from intake.ledger.chain import Chain  # noqa: E402
from intake.ledger.envelope import parse  # noqa: E402
from intake.ledger.events import Body, Undone  # noqa: E402
from intake.ledger.journal import NAME, Journal  # noqa: E402

EVENTS = 100_000
BLOCK = 50
"""Appends in turns with bare writes, before SQLite has its turn: its pages would push ours out of the caches."""
IN_MEMORY = ("tmpfs", "ramfs")
US = 1e6


def file_system(folder: Path) -> str:
    """The kind of file system that `folder` lies on."""
    mounts = [line.split()[1:3] for line in Path("/proc/self/mounts").read_text().splitlines()]
    found = [(len(at), kind) for at, kind in mounts if folder.is_relative_to(at)]
    return max(found)[1]


def timed(wall: list[float], cpu: list[float], act: Callable[[Any], Any], what: Any) -> None:
    """Notes what one act takes, [us] on the wall and of CPU."""
    start, busy = time.perf_counter(), time.process_time()
    act(what)
    wall.append((time.perf_counter() - start) * US)
    cpu.append((time.process_time() - busy) * US)


def cpu_s(act: Callable[[], Any], rounds: int = 3) -> float:
    """[s] of CPU, the best of some rounds."""
    best = float("inf")
    for _ in range(rounds):
        gc.collect()
        start = time.process_time()
        made = act()
        best = min(best, time.process_time() - start)
        del made
    return best


def write_all(folder: Path, ledger: Ledger, facts: Iterator[Body], rounds: int) -> dict[str, float]:
    """[us] medians of one durable act in each store, taken in turns, with the same JSON."""
    raw = os.open(folder / "bare", os.O_WRONLY | os.O_APPEND | os.O_CREAT)
    base = sqlite3.connect(folder / "base.sqlite")
    base.execute("pragma journal_mode=wal")
    base.execute("pragma synchronous=full")
    base.execute("create table if not exists event (id integer primary key, doc text)")
    base.commit()
    times: dict[str, list[float]] = {"bare": [], "ledger": [], "sqlite": [], "ledger_cpu": [], "bare_cpu": []}
    payloads = ledger._base.journal_storage.documents.payloads

    def insert(text: str) -> None:
        base.execute("insert into event (doc) values (?)", (text,))
        base.commit()

    def bare(data: bytes) -> None:
        os.write(raw, data)
        os.fsync(raw)

    while len(times["ledger"]) < rounds:
        for body in list(islice(facts, BLOCK)):
            timed(times["ledger"], times["ledger_cpu"], ledger.append, [body])
            timed(times["bare"], times["bare_cpu"], bare, b"x" * 22 + payloads[-1] + b"\n")
        for payload in payloads[-BLOCK:]:
            timed(times["sqlite"], [], insert, payload.decode())
    base.close()
    os.close(raw)
    return {name: statistics.median(taken) for name, taken in times.items()}


def tinydb_us(folder: Path, documents: int, rounds: int = 15) -> float:
    """[us] of one insert into stock TinyDB that holds so many documents."""
    store = TinyDB(folder / "stock.json")
    store.insert_multiple([{"n": n, "pad": "x" * 250} for n in range(documents)])
    taken: list[float] = []
    for number in range(rounds):
        timed(taken, [], store.insert, {"n": number, "pad": "x" * 250})
    store.close()
    return statistics.median(taken)


def reading(big: Path) -> dict[str, float]:
    """[s] of CPU to read the same lines in four ways, each further than the one before."""
    lines = [payload for group in Journal.open(big / NAME).groups() for payload in group.payloads]

    def plain() -> None:
        for line in lines:
            orjson.loads(line)

    def verified() -> None:
        chain = Chain()
        for group in Journal.open(big / NAME).groups():
            for payload in group.payloads:
                assert chain.add(parse(payload), payload) is None

    (big / "snapshot").unlink(missing_ok=True)
    made = {"orjson": cpu_s(plain, 5), "verified": cpu_s(verified)}
    made["folded"] = cpu_s(lambda: Ledger.open(big).state)
    Ledger.open(big, writer=True, now_ms=Clock(2_000_000_000_000)).close()
    made["snapshot"] = cpu_s(lambda: Ledger.open(big).state)
    made["snapshot_all_items"] = cpu_s(lambda: list(Ledger.open(big).state.items.values()))
    return made


def resident_mb(big: Path) -> dict[str, float]:
    """[MB] most that a process of its own held: opened with the snapshot and without."""
    code = (
        "import sys,pathlib; from intake.ledger import Ledger; l=Ledger.open(pathlib.Path(sys.argv[1]));"
        "len(list(l.state.items.values()));"
        "print(next(x.split()[1] for x in open('/proc/self/status') if x.startswith('VmHWM')))"
    )
    made = {}
    for name in ("with_snapshot", "without"):
        if name == "without":
            (big / "snapshot").unlink(missing_ok=True)
        said = subprocess.run(
            [sys.executable, "-c", code, str(big)], capture_output=True, text=True, check=True, cwd=ROOT
        )
        made[name] = float(said.stdout) / 1024
    return made


def undo_s(folder: Path, events: int) -> float:
    """[s] of CPU from an undo to the state after it, in a ledger of so many events."""
    place = folder / f"undo-{events}"
    record(place, events)
    with Ledger.open(place, writer=True, now_ms=Clock(2_000_000_000_000)) as ledger:
        last = next(iter(ledger.heads))
        ledger.state  # noqa: B018  folded before the clock starts

        def undo() -> None:
            ledger.append([Undone(event=f"{last}.{events}")])
            ledger.state  # noqa: B018

        return cpu_s(undo)


def goal(value: float, most: float, unit: str, how: str) -> dict[str, Any]:
    """A figure with its goal."""
    return {
        "measured": round(value, 3),
        "goal_at_most": most,
        "unit": unit,
        "reached": value <= most,
        "how": how,
    }


def measure(folder: Path, rounds: int) -> dict[str, Any]:
    """All figures."""
    with Ledger.create(folder / "small", station=STATION, now_ms=now_ms) as small:
        facts = bodies(10_000)
        small.append(list(islice(facts, 100)))
        at_100 = write_all(folder, small, facts, rounds)
    big = folder / "big"
    record(big, EVENTS)
    read, held = reading(big), resident_mb(big)
    with Ledger.open(big, writer=True, now_ms=now_ms) as ledger:
        ledger.state  # noqa: B018
        at_100k = write_all(folder, ledger, islice(bodies(EVENTS + 10_000, seed=2), 100, None), rounds)
    stock = tinydb_us(folder, 3_000)
    undo = {n: {"measured": round(undo_s(folder, n), 3), "unit": "s", "how": "CPU"} for n in (12_000, 50_000)}
    over, later = at_100["ledger"] - at_100["bare"], at_100k["ledger"] - at_100k["bare"]
    per = US / EVENTS
    return {
        "bare_fsync_us": round(at_100["bare"], 1),
        "append_over_bare": goal(over, 60, "us", "median, in turns with the bare write"),
        "append_over_bare_cpu": {
            "measured": round(at_100["ledger_cpu"] - at_100["bare_cpu"], 1),
            "unit": "us",
        },
        "append_to_sqlite": goal(at_100["ledger"] / at_100["sqlite"], 1, "x", "SQLite WAL, synchronous=FULL"),
        "append_at_100k_to_at_100": goal(
            (at_100k["ledger"] / at_100k["bare"]) / (at_100["ledger"] / at_100["bare"]), 1.2, "x",
            "each over the bare write of its own minute",
        ),
        "append_at_100k_over_bare": {"measured": round(later, 1), "unit": "us"},
        "stock_tinydb_at_3000_to_append": {"measured": round(stock / at_100["ledger"], 1), "unit": "x"},
        "orjson_us_an_event": round(read["orjson"] * per, 3),
        "verified_to_orjson": goal(read["verified"] / read["orjson"], 6, "x", "CRC, chain, plain dicts; CPU"),
        "folded_to_orjson": goal(read["folded"] / read["orjson"], 15, "x", "opened without a snapshot; CPU"),
        "opened_with_snapshot": goal(read["snapshot"], 0.5, "s", f"{EVENTS} events; CPU"),
        "opened_and_every_item_looked_at": {"measured": round(read["snapshot_all_items"], 3), "unit": "s"},
        "resident": goal(max(held.values()), 200, "MB", "a process of its own, every item looked at"),
        "undo_at_2000_items": undo[12_000],
        "undo_at_50000_events": undo[50_000],
        "raw": {"at_100": at_100, "at_100k": at_100k, "read_s": read, "resident_mb": held},
    }  # fmt: skip


def main() -> None:
    """Measures, prints, and says by its exit code whether every goal was reached."""
    ask = argparse.ArgumentParser(description=__doc__)
    ask.add_argument("--folder", type=Path, default=Path(tempfile.gettempdir()), help="on a real disk")
    ask.add_argument("--out", type=Path, help="write the JSON here too")
    ask.add_argument("--rounds", type=int, default=500, help="durable appends measured")
    given = ask.parse_args()
    kind = file_system(given.folder.resolve())
    if kind in IN_MEMORY:
        sys.exit(f"{given.folder} is {kind}: a sync costs nothing there. Give a folder on a disk (--folder).")
    place = Path(tempfile.mkdtemp(prefix="ledger-bench-", dir=given.folder))
    try:
        made = {"file_system": kind, "python": sys.version.split()[0], **measure(place, given.rounds)}
    finally:
        shutil.rmtree(place)
    text = json.dumps(made, indent=2)
    print(text)
    if given.out:
        given.out.write_text(text + "\n", encoding="utf-8")
    sys.exit(0 if all(f.get("reached", True) for f in made.values() if isinstance(f, dict)) else 1)


if __name__ == "__main__":
    main()
