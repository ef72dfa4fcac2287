"""Short answers in a row, one chosen; at large text the row breaks, never a word."""

from collections.abc import Callable, Sequence
from typing import Any

import flet as ft

from intake.app.parts.buttons import answer_style, selectable
from intake.app.theme import GRID, INK, ON_PALE, TEXT_SMALL


def chips(choices: Sequence[tuple[str, str]], chosen: str, on_choose: Callable[[str], Any]) -> ft.Control:
    """Buttons as wide as their words.

    Args:
        choices: key and text of each.
        chosen: key of the chosen one.
        on_choose: makes the handler of one key.
    """
    buttons = [_chip(key, text, on_choose(key), chosen=key == chosen) for key, text in choices]
    return ft.Row(buttons, wrap=True, spacing=GRID, run_spacing=GRID)


def _chip(key: str, text: str, on_press: Any, *, chosen: bool) -> ft.Control:
    label = ft.Text(text, size=TEXT_SMALL, color=ON_PALE if chosen else INK)
    style = answer_style(chosen=chosen, horizontal=1.25 * GRID, vertical=15)
    return selectable(ft.OutlinedButton(content=label, style=style, on_click=on_press), chosen, key)
