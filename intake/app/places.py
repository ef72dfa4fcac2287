"""The addresses of the app's screens, and which of them stand in the navigation."""

from collections.abc import Callable
from typing import Any

import flet as ft

from intake.app.parts.frame import Section

HOME = "/"
BINS, LOTS, HOLD, JOIN = "/bins", "/lots", "/hold", "/join"
TAKE_ITEM, STOP, PILE = "/item", "/stop", "/pile"
"""Where an item's walk begins, which the first screen offers; what ends it at once; what to clean next."""
HISTORY, FIND, PAPERS = "/history", "/find", "/papers"
"""What was done last; a thing by its name; what there is to print."""

SECTIONS = (
    Section(path=HOME, text_key="app.section.today", icon=ft.Icons.TODAY_OUTLINED),
    Section(path=BINS, text_key="app.section.bins", icon=ft.Icons.INVENTORY_2_OUTLINED),
    Section(path=LOTS, text_key="app.section.lots", icon=ft.Icons.GRAIN),
    Section(path=HOLD, text_key="app.section.hold", icon=ft.Icons.PAUSE_CIRCLE_OUTLINE),
)
"""The navigation, in order; a screen that stands there adds its line here and its route in `routes.py`."""


CHARGE = "/charge"


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


def shred_address(bin_id: str) -> str:
    """Where the shred of a bin is weighed."""
    return f"{BINS}/{bin_id}/shred"


def lot_address(lot_id: str) -> str:
    """A lot of shred."""
    return f"{LOTS}/{lot_id}"


def draw_address(lot_id: str) -> str:
    """Where part of a lot is drawn."""
    return f"{LOTS}/{lot_id}/draw"


def history_address(name: str) -> str:
    """Everything that was told of an item, a bin or a lot."""
    return f"{HISTORY}/{name}"


def charge_address(charge_id: str) -> str:
    """The plan of a charge."""
    return f"{CHARGE}/{charge_id}"


def way(go: Callable[[str], Any], address: str) -> Callable[[], Any]:
    """A handler that leads to an address; takes no event, as `go` would read one as something else."""
    return lambda: go(address)
