"""Days at a collection table for the tests of the ledger: made-up acts, a clock, a faulty disk."""

import errno
import os
import random
from pathlib import Path

from hypothesis import strategies as st

from intake.ledger import Ledger
from intake.ledger.disk import DiskFile
from intake.ledger.events import (
    BinMerged,
    BinOpened,
    BinRelabelled,
    BinSplit,
    CampaignSet,
    Drawn,
    EvidenceAdded,
    Floated,
    Judged,
    LabelPrinted,
    LotAdjusted,
    MeltTested,
    Move,
    PartMade,
    Placed,
    PrepDone,
    Received,
    Regrouped,
    Revised,
    Shredded,
    Source,
    SplitOff,
    Stage,
    TakenBack,
    Undone,
    WrittenOff,
)
from intake.table.bins.melt_test import Bend, Peel, Smell, Specks
from intake.table.compat.decision import Verdict
from intake.table.identify.evidence import Cue, Density, FloatTest, Mark, Outcome, SpotTest
from intake.table.item import Adhesive, Closure, Label, LabelOff, Residue, Weighing
from intake.table.kinds import Flow
from intake.table.prep.steps import Covers
from intake.table.resins import Reason

STATION = "QT-3f9a1c"
OTHER = "WB-77b0d2"
START_MS = 1_795_599_660_000
EDITION = "2026-11"


class Clock:
    """[ms] moves on by `step` whenever it is read; `now` can be set, also backwards."""

    def __init__(self, now=START_MS, step=7):
        self.now, self.step = now, step

    def __call__(self):
        self.now += self.step
        return self.now


def received(item, **facts):
    return Received(item=item, **{"kind": "jug-4l", **facts})


def judged(item, verdict=Verdict.ACCEPT, stage=Stage.RESIN):
    return Judged(
        item=item, stage=stage, verdict=verdict, resin="PE-HD", probability=0.97, host="PE-HD",
        reasons=(Reason.of("same_resin", share=0.97, host="PE-HD"),), cautions=("hot-water",), edition=EDITION,
    )  # fmt: skip


def shredded(name="QT-01", lot="QT-L01", mass_g=60.0, **more):
    return Shredded(bin=name, lot=lot, mass_g=mass_g, **more)


def melted(lot="QT-L01", verdict=Verdict.ACCEPT):
    return MeltTested(
        lot=lot,
        smell=Smell.WAXY,
        specks=Specks.FEW,
        peel=Peel.NO,
        bend=Bend.BENDS,
        verdict=verdict,
        note="ok",
    )


def opened(name="QT-01", **more):
    return BinOpened(bin=name, **{"resin": "PE-HD", "colour": "natural", "flow": Flow.BLOW, **more})


EVERY_KIND = (
    CampaignSet(campaign={"name": "Spring", "charge": [{"id": "c1", "cavity_cm3": 3600.0}]}, edition=EDITION),
    Received(
        item="a1", kind="jug-4l", count=2, colour="natural", label=Label.PAPER, label_off=LabelOff.PARTLY,
        adhesive=Adhesive.HEAVY, closure=Closure.ON, residue=Residue.EDIBLE_OIL, gross_g=141.0, tare_g=12.0,
        resolution_g=0.5, weighed=Weighing.AS_RECEIVED, minutes=1.5, note="Ölkanister, 2 Stück — “blau”\n",
        source=Source(sheet="c0ffee", row=3), by="Ada",
    ),
    received("a2"),
    Revised(item="a2", changes={"gross_g": 12.0, "label": "film", "count": 3}),
    EvidenceAdded(item="a1", evidence=Mark(text=">PE-HD<")),
    EvidenceAdded(item="a1", evidence=FloatTest(bath="water", bath_g_cm3=0.9982, outcome=Outcome.FLOATS)),
    EvidenceAdded(item="a1", evidence=Density(density_g_cm3=0.955, sd_g_cm3=0.004)),
    EvidenceAdded(item="a1", evidence=SpotTest(tested=59)),
    EvidenceAdded(item="a1", evidence=Cue(name="crease", value="whitens")),
    judged("a1"),
    PrepDone(item="a1", step="label", minutes=2.0, left_on="partly", how="soak", covers=Covers.BAND),
    SplitOff(item="a2", parent="a1", mass_g=6.0),
    judged("a1", stage=Stage.PLACING),
    opened(capacity_l=60.0),
    Placed(item="a1", bin="QT-01"),
    TakenBack(item="a1", bin="QT-01"),
    LabelPrinted(bin="QT-01", payload="QT-01 PE-HD natural", edition=EDITION),
    Undone(event=f"{STATION}.16", reason="slip of the finger"),
    BinSplit(bin="QT-01", into="QT-02", items=("a1",), by="Ada"),
    BinMerged(bin="QT-02", into="QT-01"),
    BinRelabelled(bin="QT-02", resin="PP", colour="white", flow=Flow.INJECTION, filled=True),
    Regrouped(moves=(Move(item="a1", bin="QT-01"),)),
    shredded(tare_g=12.0, resolution_g=0.5, shredder="granulator", by="Ada"),
    Floated(lot="QT-L01", bath="water", bath_g_cm3=0.998, sinkers_g=1.5),
    Floated(lot="QT-L01", bath="salt water", bath_g_cm3=1.15, floaters_g=0.5),
    Drawn(lot="QT-L01", charge="c1", mass_g=30.0),
    LotAdjusted(lot="QT-L01", mass_g=27.5, reason="weighed again"),
    WrittenOff(reason="spilled", lot="QT-L01", mass_g=2.0),
    WrittenOff(reason="wet", bin="QT-02"),
    melted(),
    LabelPrinted(bin="QT-01", payload="Lot QT-L01", edition=EDITION, lot="QT-L01"),
    PartMade(
        charge="c1", resin="PE-HD", cavity_cm3=3600.0, mass_g=3140.0, side_mm=291.0, mould_mm=300.0, by="Ada"
    ),
)  # fmt: skip
"""One event of every kind, most of them with every field."""


def create(folder: Path, *, station=STATION, clock=None, **more) -> Ledger:
    return Ledger.create(folder, station=station, now_ms=clock or Clock(), **more)


def reopen(folder: Path, *, clock=None, **more) -> Ledger:
    return Ledger.open(folder, writer=True, now_ms=clock or Clock(START_MS + 10_000_000), **more)


def a_day(ledger: Ledger, events: int, seed: int = 1, letters: str = "a") -> None:
    """Acts of one to four events until `events` are recorded; the same seed tells the same day."""
    chance = random.Random(seed)
    ledger.append([opened(f"{letters.upper()}-01"), opened(f"{letters.upper()}-02", colour="white")][:events])
    done, number = min(2, events), 0
    while done < events:
        number += 1
        item = f"{letters}{number}"
        act = [
            received(item, gross_g=float(chance.randrange(4, 90)), note="€" * chance.randrange(3)),
            EvidenceAdded(item=item, evidence=Mark(text="2")),
            judged(item),
            Placed(item=item, bin=f"{letters.upper()}-0{chance.randrange(1, 3)}"),
        ][: min(events - done, chance.randrange(1, 5))]
        ledger.append(act)
        done += len(act)


class Plug:
    """What goes wrong below the journal, and when; nothing unless it is told."""

    def __init__(self):
        self.on_write = self.on_sync = self.on_cut = None
        self.short = 0


class FaultyFile(DiskFile):
    """The real file, until `plug` says otherwise."""

    def __init__(self, path, plug):
        super().__init__(path)
        self._plug = plug

    def append(self, data):
        plug = self._plug
        if plug.short:
            part, plug.short = data[: plug.short], 0
            return super().append(part)
        if plug.on_write is not None:
            super().append(data[: len(data) // 2])
            raise OSError(plug.on_write, os.strerror(plug.on_write))
        return super().append(data)

    def sync(self):
        if self._plug.on_sync is not None:
            raise OSError(self._plug.on_sync, os.strerror(self._plug.on_sync))
        super().sync()

    def cut(self, length):
        if self._plug.on_cut is not None:
            raise OSError(self._plug.on_cut, os.strerror(self._plug.on_cut))
        super().cut(length)


NO_SPACE, IO_ERROR = errno.ENOSPC, errno.EIO

_items, _bins = st.sampled_from(["a1", "a2", "a3"]), st.sampled_from(["QT-01", "QT-02"])
BODIES = st.one_of(
    st.builds(received, _items, gross_g=st.floats(0, 500, allow_subnormal=False)),
    st.builds(judged, _items, st.sampled_from(Verdict), st.sampled_from(Stage)),
    st.builds(lambda i, t: EvidenceAdded(item=i, evidence=Mark(text=t)), _items, st.text(max_size=4)),
    st.builds(lambda i, s: PrepDone(item=i, step=s), _items, st.sampled_from(["label", "residue", "dry"])),
    st.builds(lambda i, p, m: SplitOff(item=i, parent=p, mass_g=m), _items, _items, st.floats(0, 20)),
    st.builds(opened, _bins),
    st.builds(lambda i, b: Placed(item=i, bin=b), _items, _bins),
    st.builds(lambda i, b: TakenBack(item=i, bin=b), _items, _bins),
    st.builds(lambda b, m: shredded(b, f"{b}-L", m), _bins, st.floats(0.1, 300)),
    st.builds(lambda b, m: Drawn(lot=f"{b}-L", charge="c1", mass_g=m), _bins, st.floats(0.1, 200)),
    st.builds(lambda b, m: LotAdjusted(lot=f"{b}-L", mass_g=m), _bins, st.floats(0, 200)),
    st.builds(
        lambda b, m: Floated(lot=f"{b}-L", bath="water", bath_g_cm3=0.998, sinkers_g=m),
        _bins,
        st.floats(0, 90),
    ),
    st.builds(lambda b, m: WrittenOff(reason="x", lot=f"{b}-L", mass_g=m), _bins, st.floats(0.1, 90)),
    st.builds(lambda b: WrittenOff(reason="x", bin=b), _bins),
    st.builds(lambda b, c: BinMerged(bin=b, into=c), _bins, _bins),
    st.builds(lambda b, c, i: BinSplit(bin=b, into=c, items=(i,)), _bins, _bins, _items),
    st.builds(lambda i, b: Regrouped(moves=(Move(item=i, bin=b),)), _items, _bins),
    st.builds(lambda b: BinRelabelled(bin=b, colour="white"), _bins),
    st.builds(lambda b: melted(f"{b}-L"), _bins),
    st.builds(lambda n: Undone(event=f"{STATION}.{n}"), st.integers(1, 12)),
)
"""Anything that could be recorded, also what makes no sense where it stands."""
