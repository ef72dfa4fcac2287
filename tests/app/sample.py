"""A small table that was really worked at, opened once for all tests that only look."""

import atexit
import shutil
import tempfile
from functools import cache
from pathlib import Path

from intake.desk.campaign import campaign_of
from intake.desk.decide import decide
from intake.desk.desk import Desk
from intake.desk.observe import add_mark, add_test
from intake.desk.place import place_in_bin
from intake.desk.prepare import prep_done, prep_steps, weigh
from intake.desk.receive import receive
from intake.handbook import Handbook
from intake.table.compat.decision import Verdict

CAMPAIGN = {
    "name": "Quayside table",
    "letters": "QT",
    "charge": [
        {"id": "bench-top", "resin": "PE-HD", "cavity": "1 L"},
        {"id": "small-crate", "resin": "PP", "cavity": "600 cm3"},
    ],
}
DAY = (
    ("jug", 6, "natural", "2 HDPE", ("float:water", "floats"), 372.0),
    ("detergent bottle", 4, "blue", "2", ("float:water", "floats"), 236.0),
    ("margarine tub", 8, "white", "5 PP", ("float:water", "floats"), 96.0),
    ("blister pack", 2, "clear", "3 PVC", ("float:water", "sinks"), 16.0),
    ("tub", 3, "white", "", (), 0.0),
)
"""What came: kind, count, colour, mark, test, mass [g] when prepared."""


def work(desk):
    """The day at the table: everything taken as far as it goes; one more item is left in hand."""
    for kind, count, colour, mark, test, mass_g in DAY:
        take(desk, kind, count, colour=colour, mark=mark, test=test, mass_g=mass_g)
    receive(desk, "pail")


def take(desk, kind, count, *, colour="natural", mark="", test=(), mass_g=0.0):
    """One item from the bag to its bin, its shelf or out; gives its id."""
    item = receive(desk, kind, count, colour=colour)
    if mark:
        add_mark(desk, item, mark)
    if test:
        add_test(desk, item, *test)
    if decide(desk, item).verdict is Verdict.ACCEPT:
        for step in prep_steps(desk, item):
            prep_done(desk, item, step.name)
        weigh(desk, item, mass_g)
        place_in_bin(desk, item)
    return item


def open_sample(folder, campaign=CAMPAIGN):
    """An empty table in `folder`."""
    handbook = Handbook()
    return Desk.open(folder, handbook, campaign_of(dict(campaign), handbook, where="sample"))


@cache
def sample_desk():
    """The table after its day; for looking only."""
    folder = Path(tempfile.mkdtemp(prefix="intake-sample-"))
    atexit.register(shutil.rmtree, folder, ignore_errors=True)
    desk = open_sample(folder / "ledger")
    work(desk)
    return desk


class BrokenDesk:
    """A desk whose views cannot be made."""

    @property
    def state(self):
        raise KeyError("secret path")
