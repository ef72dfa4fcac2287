"""Made-up lots for the tests of labels: values that a table could have, none measured."""

from intake.handbook import Handbook
from intake.spread import Interval
from intake.table.bins.colour import GroupId
from intake.table.bins.key import BinKey
from intake.table.kinds import Flow
from intake.table.labels.lot import LotLabel, lot_label
from intake.table.resins import ResinId

BOOK = Handbook()
NET = Interval(mean=1243.0, low=1230.0, high=1256.0)
PURITY = Interval(mean=0.963, low=0.942, high=0.981)


def lot(
    resin="PE-HD", colour="natural", flow=Flow.BLOW, filled=False, lot_id="QT-L07", bin_id="QT-04", **more
) -> LotLabel:
    """A lot of a resin, with anything else by name."""
    key = BinKey(resin=ResinId(resin), colour=GroupId(colour), flow=flow, filled=filled)
    given = {
        "net_g": NET,
        "purity_share": PURITY,
        "window": BOOK.melts.oven_window(ResinId(resin)),
        "cautions": BOOK.cautions.for_label(ResinId(resin)),
        "edition": BOOK.edition,
        "table": "Quayside table",
        "date": "2026-11-24",
        **more,
    }
    return lot_label(lot_id, bin_id, key, resins=BOOK.resins, colours=BOOK.colours, **given)


LONGEST = {
    "resin": "PE-LLD",
    "colour": "purple",
    "flow": Flow.INJECTION,
    "filled": True,
    "lot_id": "QTXX-L999",
    "bin_id": "QTXX-9999",
    "net_g": Interval(mean=12430.0, low=12300.0, high=12560.0),
    "purity_share": Interval(mean=0.9963, low=0.9942, high=0.9981),
}
