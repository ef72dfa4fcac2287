"""A long day at a table for the benches: what `intake sort` records for each item, with made-up values."""

import random
from collections.abc import Iterator
from pathlib import Path

from ledger_story import Clock

from intake.ledger import Ledger
from intake.ledger.events import BinOpened, Body, EvidenceAdded, Judged, Placed, Received, Source, Stage
from intake.table.compat.decision import Verdict
from intake.table.identify.evidence import FloatTest, Mark, Outcome
from intake.table.item import Closure, Label, Residue, Weighing
from intake.table.kinds import Flow
from intake.table.resins import Reason

STATION = "QT-3f9a1c"
RESINS = ("PE-HD", "PE-LD", "PP", "PS")
EDITION = "2026-11"


def bodies(events: int, seed: int = 1) -> Iterator[Body]:
    """The first `events` events of the day."""
    chance = random.Random(seed)
    done = 0
    for number, resin in enumerate(RESINS, 1):
        yield BinOpened(bin=f"QT-0{number}", resin=resin, colour="natural", flow=Flow.BLOW, capacity_l=60.0)
        done += 1
    item = 0
    while True:
        item += 1
        for body in _item(f"row-{item}", item, chance):
            if done == events:
                return
            yield body
            done += 1


def _item(name: str, row: int, chance: random.Random) -> Iterator[Body]:
    """What is recorded of one row: received, seen, judged twice and placed."""
    place = chance.randrange(len(RESINS))
    resin, sure = RESINS[place], 0.9 + chance.random() / 10
    yield Received(
        item=name, kind="jug", count=chance.randrange(1, 9), colour="natural", label=Label.PAPER,
        closure=Closure.ON, residue=Residue.RINSED, gross_g=float(chance.randrange(10, 900)),
        weighed=Weighing.AS_RECEIVED, source=Source(sheet="a0daa9badcdc225d", row=row), minutes=1.0,
    )  # fmt: skip
    yield EvidenceAdded(item=name, evidence=Mark(text=f"{place + 2} {resin}"))
    yield EvidenceAdded(item=name, evidence=FloatTest(bath="water", bath_g_cm3=0.998, outcome=Outcome.FLOATS))
    melts = Reason.of("resin_melts_with", host=resin, probability=sure, resin=resin)
    for stage, reason in (
        (Stage.RESIN, melts),
        (Stage.PLACING, Reason.of("bin_same", bin=f"QT-0{place + 1}")),
    ):
        yield Judged(
            item=name, stage=stage, verdict=Verdict.ACCEPT, resin=resin, probability=sure, host=resin,
            reasons=(reason,), edition=EDITION,
        )  # fmt: skip
    yield Placed(item=name, bin=f"QT-0{place + 1}")


def record(folder: Path, events: int, group: int = 500) -> None:
    """A new ledger with the day in it, `group` events at a time."""
    with Ledger.create(folder, station=STATION, now_ms=Clock()) as ledger:
        act: list[Body] = []
        for body in bodies(events):
            act.append(body)
            if len(act) == group:
                ledger.append(act)
                act = []
        ledger.append(act)
