"""The ledger's faults in full: `python tests/bench/ledger_faults.py [--kills 240] [--events 200]`, some minutes.

The suite samples what is done here to the end:

- a journal of 200 events cut off at every byte: it opens to the longest whole acts before the cut, never to
  anything else, and a writer can go on;
- the same journal with every byte changed: it is damage, told with the byte where the record begins;
- a recorder that confirms every act, killed at 240 random moments: nothing confirmed is lost or doubled.

Prints one JSON document; exit code 1 where anything was otherwise.
"""

import argparse
import json
import random
import shutil
import sys
import tempfile
from pathlib import Path
from typing import Any

ROOT = Path(__file__).parents[2]
sys.path[:0] = [str(ROOT), str(ROOT / "tests"), str(ROOT / "tests" / "faults")]

from ledger_story import a_day, create, received, reopen  # noqa: E402
from test_kill import killed_after, whole_acts  # noqa: E402

from intake.errors import DamagedLedger  # noqa: E402
from intake.ledger import Ledger  # noqa: E402
from intake.ledger.verify import verify  # noqa: E402


def cut_everywhere(place: Path, data: bytes, ends: list[int]) -> dict[str, Any]:
    """Opens the journal cut off at every byte; says where it was not the longest prefix of whole acts."""
    wrong = []
    with Ledger.open(place) as whole:
        payloads = whole.payloads()
    journal = place / "journal"
    for length in range(ends[0], len(data) + 1):
        journal.write_bytes(data[:length])
        start = max(end for end in ends if end <= length)
        with Ledger.open(place) as ledger:
            kept = len(data[:start].splitlines()) - 1
            torn = (ledger.torn.start, ledger.torn.size) if ledger.torn else None
            if ledger.payloads() != payloads[:kept] or torn != (
                (start, length - start) if length > start else None
            ):
                wrong.append(length)
        if length % 997 == 0:
            with reopen(place) as ledger:
                ledger.append([received("after")])
            if not verify(place).ok:
                wrong.append(length)
            for aside in place.glob("cut-*"):
                aside.unlink()
    journal.write_bytes(data)
    return {"cuts": len(data) + 1 - ends[0], "wrong": wrong}


def change_everywhere(place: Path, data: bytes, chance: random.Random) -> dict[str, Any]:
    """Opens the journal with one byte changed, for every byte; says where that was not told exactly."""
    wrong = []
    journal = place / "journal"
    starts = [0]
    for line in data.splitlines(keepends=True):
        starts.append(starts[-1] + len(line))
    for at in range(len(data)):
        journal.write_bytes(data[:at] + bytes([data[at] ^ (1 << chance.randrange(8))]) + data[at + 1 :])
        line = max(start for start in starts if start <= at)
        try:
            Ledger.open(place).close()
            wrong.append(at)
        except DamagedLedger as error:
            if f"up to byte {line}." not in str(error):
                wrong.append(at)
    journal.write_bytes(data)
    return {"changes": len(data), "wrong": wrong}


def killed(place: Path, kills: int) -> dict[str, Any]:
    """One ledger after the other, each killed four times: every confirmed act is there, once."""
    confirmed = wrong = torn = 0
    for number in range(kills):
        folder = place / f"k{number // 4}"
        if number % 4 == 0:
            create(folder).close()
        chance = random.Random(number)
        told = killed_after(folder, number, chance.randrange(1, 4), chance.uniform(0.0, 0.03))
        with reopen(folder) as ledger:
            events = list(ledger.events())
            torn += ledger.torn is not None
        confirmed += len(told)
        whole_acts(events)
        wrong += [event.seq for event in events] != list(range(1, len(events) + 1)) or max(told) > len(events)
        wrong += not verify(folder).ok
    return {"kills": kills, "confirmed_acts": confirmed, "torn_tails_cut": torn, "wrong": wrong}


def main() -> None:
    """Runs all three."""
    ask = argparse.ArgumentParser(description=__doc__)
    ask.add_argument("--kills", type=int, default=240)
    ask.add_argument("--events", type=int, default=200)
    given = ask.parse_args()
    place = Path(tempfile.mkdtemp(prefix="ledger-faults-"))
    try:
        with create(place / "day") as ledger:
            a_day(ledger, given.events)
        data = (place / "day" / "journal").read_bytes()
        ends, at = [], 0
        for line in data.splitlines(keepends=True):
            at += len(line)
            part, _, size = line[18:].split(b" ")[0].partition(b"/")
            if part == size:
                ends.append(at)
        made = {
            "killed": killed(place, given.kills),
            "cut": cut_everywhere(place / "day", data, ends),
            "changed": change_everywhere(place / "day", data, random.Random(1)),
        }
    finally:
        shutil.rmtree(place)
    print(json.dumps(made, indent=2))
    sys.exit(1 if any(part["wrong"] for part in made.values()) else 0)


if __name__ == "__main__":
    main()
