"""A line at the foot of the screen that goes away by itself."""

from collections.abc import Callable
from typing import Any

import flet as ft

from intake.app.theme import TEXT_SMALL

_SECONDS = 6


def snack(text: str, *, action: str = "", on_action: Callable[..., Any] | None = None) -> ft.SnackBar:
    """The line, with one thing to press where `action` names it."""
    return ft.SnackBar(
        content=ft.Semantics(content=ft.Text(text, size=TEXT_SMALL), live_region=True),
        action=action or None,
        on_action=on_action,
        duration=_SECONDS * 1000,
        persist=False,
        behavior=ft.SnackBarBehavior.FLOATING,
    )


def tell(text: str, *, action: str = "", on_action: Callable[..., Any] | None = None) -> None:
    """Show the line on the page whose handler is running."""
    ft.context.page.show_dialog(snack(text, action=action, on_action=on_action))
