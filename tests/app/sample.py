"""A desk that shows a fixed campaign: enough to draw the app without a ledger."""

from intake.app.home_view import ChargeView, HomeView
from intake.spread import Interval
from intake.table.resins import ResinId

BENCH = ChargeView(
    id="bench-top",
    resin=ResinId("PE-HD"),
    shred=Interval(mean=2140.0, low=2010.0, high=2280.0),
    charge=Interval(mean=3400.0, low=3250.0, high=3560.0),
    probability_met=0.0008,
)
CRATE = ChargeView(
    id="small crate",
    resin=ResinId("PP"),
    shred=Interval(mean=640.0, low=590.0, high=700.0),
    charge=Interval(mean=620.0, low=600.0, high=640.0),
    probability_met=0.71,
)
VIEW = HomeView(
    campaign="Quayside table",
    charges=(BENCH, CRATE),
    accepted=41,
    held=3,
    refused=9,
    hints=("About 14 more jugs, or 22 detergent bottles.", "Caps without liners: 95 g of shred a minute."),
)


class SampleDesk:
    """Holds what the first screen shows; a test may put another view in its place."""

    def __init__(self, view=VIEW):
        self.view = view

    def home(self):
        return self.view


class BrokenDesk:
    """A desk whose view cannot be made."""

    def home(self):
        raise KeyError("secret path")
