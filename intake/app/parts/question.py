"""The one thing a screen asks, and the line beneath it."""

import flet as ft

from intake.app.theme import GRID, INK, MUTED, TEXT_QUESTION, TEXT_SMALL


def question(text: str, *, hint: str = "") -> ft.Control:
    """The question as the screen's only first-level heading."""
    head = heading(text, level=1, size=TEXT_QUESTION)
    lines = [head, ft.Text(hint, size=TEXT_SMALL, color=MUTED)] if hint else [head]
    return ft.Column(lines, spacing=GRID, tight=True)


def heading(text: str, *, level: int, size: float, color: str = INK) -> ft.Control:
    """A text that screen readers can jump to."""
    return ft.Semantics(
        content=ft.Text(text, size=size, color=color), header=True, heading_level=level, container=True
    )
