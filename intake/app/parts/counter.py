"""How many alike: one less, the number, one more."""

from collections.abc import Callable

import flet as ft

from intake.app.parts.cards import card
from intake.app.theme import ACTION, INK, TARGET_MIN, TEXT_BODY, TEXT_QUESTION
from intake.words import Words


def counter(
    words: Words, text: str, count: int, on_count: Callable[[int], None], *, least: int = 1, most: int = 9999
) -> ft.Control:
    """A row that asks `text` and calls back with the new number, kept between `least` and `most`."""
    number = ft.Semantics(
        content=ft.Text(
            str(count), size=TEXT_QUESTION, color=INK, text_align=ft.TextAlign.CENTER, width=TARGET_MIN + 24
        ),
        live_region=True,
        container=True,
    )
    row = [
        ft.Text(text, size=TEXT_BODY, color=INK, expand=True),
        _button(
            ft.Icons.REMOVE, words("app.counter.less"), lambda: on_count(count - 1), at_end=count <= least
        ),
        number,
        _button(ft.Icons.ADD, words("app.counter.more"), lambda: on_count(count + 1), at_end=count >= most),
    ]
    return card([ft.Row(row, spacing=0, vertical_alignment=ft.CrossAxisAlignment.CENTER)], tight=True)


def _button(icon: ft.IconData, label: str, on_press: Callable[[], None], *, at_end: bool) -> ft.IconButton:
    """A named 48 px button, dead at the end of the range."""
    return ft.IconButton(
        ft.Icon(icon, semantics_label=label),
        on_click=on_press,
        disabled=at_end,
        icon_color=ACTION,
        style=ft.ButtonStyle(padding=12),
    )
