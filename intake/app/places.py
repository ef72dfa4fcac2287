"""The addresses of the app's screens, and which of them stand in the navigation."""

from collections.abc import Callable
from typing import Any

import flet as ft

from intake.app.parts.frame import Section

HOME = "/"
BINS, HOLD = "/bins", "/hold"
TAKE_ITEM = "/item"
"""Where an item's walk begins; the first screen offers it."""

SECTIONS = (
    Section(path=HOME, text_key="app.section.today", icon=ft.Icons.TODAY_OUTLINED),
    Section(path=BINS, text_key="app.section.bins", icon=ft.Icons.INVENTORY_2_OUTLINED),
    Section(path=HOLD, text_key="app.section.hold", icon=ft.Icons.PAUSE_CIRCLE_OUTLINE),
)
"""The navigation, in order; a screen that stands there adds its line here and its route in `routes.py`."""


def section_at(path: str) -> int:
    """Where a section stands in the navigation."""
    return [s.path for s in SECTIONS].index(path)


def item_address(item_id: str) -> str:
    """Where an item goes on."""
    return f"{TAKE_ITEM}/{item_id}"


def bin_address(bin_id: str) -> str:
    """The passport of a bin."""
    return f"{BINS}/{bin_id}"


def label_address(bin_id: str) -> str:
    """The tag of a bin."""
    return f"{BINS}/{bin_id}/label"


def way(go: Callable[[str], Any], address: str) -> Callable[[], Any]:
    """A handler that leads to an address; takes no event, as `go` would read one as something else."""
    return lambda: go(address)
