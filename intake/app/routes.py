"""Address → screen. Children stack on their parent, where the phone's Back leads; sections are siblings."""

import flet as ft

from intake.app.screens.home import Home


def routes() -> list[ft.Route]:
    """All screens; each component returns a view and goes through `safe_view`."""
    return [ft.Route(path="/", component=Home)]
