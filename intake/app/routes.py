"""Address → screen. Children stack on their parent, where the phone's Back leads; sections are siblings."""

import flet as ft

from intake.app.screens.home import Home
from intake.app.screens.item import ItemStep
from intake.app.screens.kind import Kind


def routes() -> list[ft.Route]:
    """All screens; each component returns a view and goes through `safe_view`."""
    return [
        ft.Route(path="/", component=Home),
        ft.Route(path="item", component=Kind),
        ft.Route(path="item/:item", component=ItemStep),
        ft.Route(path="item/:item/:step", component=ItemStep),
        ft.Route(path="item/:item/:step/:test", component=ItemStep),
    ]
