"""Address → screen. Children stack on their parent, where the phone's Back leads; sections are siblings."""

import flet as ft

from intake.app.screens.bin import Bin
from intake.app.screens.bins import Bins
from intake.app.screens.charge import Charge
from intake.app.screens.draw import Draw
from intake.app.screens.find import Find
from intake.app.screens.history import History, HistoryOf
from intake.app.screens.hold import Hold
from intake.app.screens.home import Home
from intake.app.screens.item import ItemStep
from intake.app.screens.join import Join
from intake.app.screens.kind import Kind
from intake.app.screens.label import Label
from intake.app.screens.lot import Lot
from intake.app.screens.lots import Lots
from intake.app.screens.papers import Papers
from intake.app.screens.pile import Pile
from intake.app.screens.shred import Shred
from intake.app.screens.stop import Stop


def routes() -> list[ft.Route]:
    """All screens; each component returns a view and goes through `safe_view`."""
    of_bin = [ft.Route(path="label", component=Label), ft.Route(path="shred", component=Shred)]
    of_lot = [ft.Route(path="draw", component=Draw)]
    return [
        ft.Route(path="/", component=Home),
        ft.Route(
            path="bins", component=Bins, children=[ft.Route(path=":bin", component=Bin, children=of_bin)]
        ),
        ft.Route(
            path="lots", component=Lots, children=[ft.Route(path=":lot", component=Lot, children=of_lot)]
        ),
        ft.Route(path="hold", component=Hold),
        ft.Route(path="join", component=Join),
        ft.Route(path="stop", component=Stop),
        ft.Route(path="pile", component=Pile),
        ft.Route(path="charge/:charge", component=Charge),
        ft.Route(path="find", component=Find),
        ft.Route(path="papers", component=Papers),
        ft.Route(path="history", component=History, children=[ft.Route(path=":name", component=HistoryOf)]),
        ft.Route(path="item", component=Kind),
        ft.Route(path="item/:item", component=ItemStep),
        ft.Route(path="item/:item/:step", component=ItemStep),
        ft.Route(path="item/:item/:step/:test", component=ItemStep),
    ]
