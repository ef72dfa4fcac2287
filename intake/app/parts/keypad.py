"""Our own number pad: phones hide the decimal key, and wet fingers want large ones."""

from collections.abc import Callable
from typing import Any

import flet as ft

from intake.app.parts.buttons import answer_style
from intake.app.theme import (
    ACTION,
    CARD,
    EDGE_LINE,
    GRID,
    INK,
    RADIUS_BUTTON,
    TEXT_BODY,
    TEXT_QUESTION,
    TEXT_VERDICT,
)
from intake.words import Words

ERASE = "erase"
UNITS = ("g", "kg", "oz", "lb")
MOST_DIGITS, MOST_DECIMALS = 7, 3
_ROWS = (("1", "2", "3"), ("4", "5", "6"), ("7", "8", "9"), (",", "0", "."))
PATTERN = r"^[0-9]{0,7}([.,][0-9]{0,3})?$"
"""What the field lets through when somebody types on a keyboard."""


def press(text: str, key: str) -> str:
    """The text after one key: a digit, `.` or `,` (once), or `ERASE`; what makes no number is not taken."""
    if key == ERASE:
        return text[:-1]
    whole, mark, decimals = _parts(text)
    if key in {".", ","}:
        return text if mark else (whole or "0") + key
    if mark:
        return text + key if len(decimals) < MOST_DECIMALS else text
    if whole == "0":
        return key
    return text + key if len(whole) < MOST_DIGITS else text


def _parts(text: str) -> tuple[str, str, str]:
    """Digits before the decimal mark, the mark, digits after."""
    mark = next((m for m in ".," if m in text), "")
    whole, _, decimals = text.partition(mark) if mark else (text, "", "")
    return whole, mark, decimals


def keypad(
    words: Words, text: str, unit: str, on_text: Callable[[str], Any], on_unit: Callable[[str], Any],
    *, label: str, error: str = "", on_enter: Callable[[], Any] | None = None,
) -> ft.Control:  # fmt: skip
    """The number typed so far, its unit, and twelve keys.

    Args:
        words: for the name of the erase key.
        text: what is typed so far, as typed.
        unit: the chosen one of `UNITS`.
        on_text: called with the new text.
        on_unit: called with the new unit.
        label: what is asked for; names the field.
        error: what is wrong with it, if anything.
        on_enter: called when somebody presses Enter in the field.
    """
    field = ft.TextField(
        value=text, label=label, suffix=unit, error=error or None, text_size=TEXT_VERDICT, color=INK,
        keyboard_type=ft.KeyboardType.NONE, input_filter=ft.InputFilter(PATTERN), border_color=EDGE_LINE,
        focused_border_color=ACTION, border_radius=RADIUS_BUTTON, bgcolor=CARD, expand=True, autofocus=True,
        on_change=lambda e: on_text(e.control.value), on_submit=(lambda _: on_enter()) if on_enter else None,
    )  # fmt: skip
    erase = ft.IconButton(
        ft.Icon(ft.Icons.BACKSPACE_OUTLINED, semantics_label=words("app.keypad.erase")),
        on_click=lambda: on_text(press(text, ERASE)), disabled=not text, icon_color=ACTION,
        style=ft.ButtonStyle(padding=16),
    )  # fmt: skip
    keys = [ft.Row([_key(key, text, on_text) for key in row], spacing=GRID) for row in _ROWS]
    return ft.Column(
        [ft.Row([field, erase], spacing=GRID / 2), unit_switch(unit, on_unit), *keys],
        spacing=GRID, tight=True, horizontal_alignment=ft.CrossAxisAlignment.STRETCH,
    )  # fmt: skip


def unit_switch(unit: str, on_unit: Callable[[str], Any]) -> ft.Control:
    """The units side by side, one chosen."""
    return ft.SegmentedButton(
        segments=[ft.Segment(value=u, label=ft.Text(u, size=TEXT_BODY)) for u in UNITS],
        selected=[unit],
        show_selected_icon=False,
        style=ft.ButtonStyle(padding=ft.Padding.symmetric(vertical=13), side=ft.BorderSide(1, EDGE_LINE)),
        on_change=lambda e: on_unit(next(iter(e.control.selected))),
    )


def _key(key: str, text: str, on_text: Callable[[str], Any]) -> ft.Control:
    """One key of the pad."""
    return ft.OutlinedButton(
        content=ft.Text(key, size=TEXT_QUESTION, color=INK),
        style=answer_style(chosen=False, horizontal=GRID, vertical=GRID),
        on_click=lambda: on_text(press(text, key)),
        expand=True,
        key=f"key-{key}",
    )
