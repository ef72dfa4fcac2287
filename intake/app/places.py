"""The addresses of the app's screens, and which of them stand in the navigation."""

import flet as ft

from intake.app.parts.frame import Section

HOME = "/"
TAKE_ITEM: str | None = None
"""Where an item's walk begins; the first screen offers it once there is a route for it."""

SECTIONS = (Section(path=HOME, text_key="app.section.today", icon=ft.Icons.TODAY_OUTLINED),)
"""The navigation, in order; a screen that stands there adds its line here and its route in `routes.py`."""
