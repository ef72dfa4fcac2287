"""Address → screen. Children stack on their parent, where the phone's Back leads; sections are siblings."""

import flet as ft

from intake.app.screens.bin import Bin
from intake.app.screens.bins import Bins
from intake.app.screens.hold import Hold
from intake.app.screens.home import Home
from intake.app.screens.item import ItemStep
from intake.app.screens.kind import Kind
from intake.app.screens.label import Label


def routes() -> list[ft.Route]:
    """All screens; each component returns a view and goes through `safe_view`."""
    label = ft.Route(path="label", component=Label)
    return [
        ft.Route(path="/", component=Home),
        ft.Route(
            path="bins", component=Bins, children=[ft.Route(path=":bin", component=Bin, children=[label])]
        ),
        ft.Route(path="hold", component=Hold),
        ft.Route(path="item", component=Kind),
        ft.Route(path="item/:item", component=ItemStep),
        ft.Route(path="item/:item/:step", component=ItemStep),
        ft.Route(path="item/:item/:step/:test", component=ItemStep),
    ]
