"""What a person presses: the one primary action, the quiet ones beside it, and big answers."""

from collections.abc import Callable, Sequence
from typing import Any

import flet as ft

from intake.app.theme import (
    ACTION,
    BUTTON_PAD,
    CARD,
    EDGE_LINE,
    GRID,
    INK,
    LINE,
    MUTED,
    ON_PALE,
    PALE,
    RADIUS_BUTTON,
    TEXT_BODY,
    TEXT_SMALL,
)  # fmt: skip

Press = Callable[..., Any]


def primary_button(
    text: str, on_press: Press | None, *, disabled: bool = False, key: str = ""
) -> ft.FilledButton:
    """The one action at the foot of a screen, 58 px high and growing with the text."""
    style = ft.ButtonStyle(
        padding=ft.Padding.symmetric(horizontal=3 * GRID, vertical=BUTTON_PAD),
        shape=ft.RoundedRectangleBorder(radius=RADIUS_BUTTON),
        elevation=0,
    )
    label = ft.Text(text, size=TEXT_BODY, text_align=ft.TextAlign.CENTER)
    return ft.FilledButton(content=label, style=style, disabled=disabled, on_click=on_press, key=key or None)


def link_button(text: str, url: str, *, primary: bool = False) -> ft.Control:
    """A button that opens an address of ours, such as a file; the browser does it inside the tap."""
    button = primary_button(text, None) if primary else quiet_button(text, None)
    button.url = url
    return button


def quiet_button(
    text: str, on_press: Press | None, *, disabled: bool = False, key: str = "", expand: bool = False
) -> ft.OutlinedButton:
    """An action that is not the first one: same height, no fill."""
    label = ft.Text(text, size=TEXT_BODY, text_align=ft.TextAlign.CENTER)
    return ft.OutlinedButton(
        content=label, style=answer_style(chosen=False), disabled=disabled, on_click=on_press,
        key=key or None, expand=expand,
    )  # fmt: skip


def small_button(text: str, on_press: Press) -> ft.Control:
    """An act on one row of many: a line of text, still large enough to hit."""
    label = ft.Text(text, size=TEXT_SMALL, color=ACTION, weight=ft.FontWeight.W_600)
    style = ft.ButtonStyle(padding=ft.Padding.symmetric(horizontal=1.5 * GRID, vertical=2 * GRID))
    return ft.Row(
        [ft.TextButton(content=label, style=style, on_click=on_press)], alignment=ft.MainAxisAlignment.END
    )


def choice(
    text: str, on_press: Press, *, hint: str = "", chosen: bool | None = None, key: str = ""
) -> ft.Control:
    """A big answer: its text on the left, a line beneath where one is needed.

    `chosen` is None where pressing answers at once, true or false where the answer stays on the screen.
    """
    lines: list[ft.Control] = [ft.Text(text, size=TEXT_BODY, color=ON_PALE if chosen else INK)]
    if hint:
        lines.append(ft.Text(hint, size=TEXT_SMALL, color=ON_PALE if chosen else MUTED))
    column = ft.Column(lines, spacing=2, tight=True, expand=True)
    style = answer_style(chosen=bool(chosen))
    return selectable(
        ft.OutlinedButton(content=ft.Row([column]), style=style, on_click=on_press), chosen, key
    )


def answers(choices: Sequence[ft.Control]) -> ft.Control:
    """Choices under one another, close enough to be seen as one question's."""
    return ft.Column(
        list(choices), spacing=GRID, tight=True, horizontal_alignment=ft.CrossAxisAlignment.STRETCH
    )


def selectable(button: ft.Control, chosen: bool | None, key: str) -> ft.Control:  # noqa: FBT001
    """A button as one stop for a screen reader, which says whether it is the chosen one of several."""
    return ft.MergeSemantics(ft.Semantics(content=button, selected=chosen), key=key or None)


def answer_style(
    *, chosen: bool, horizontal: float = 2.5 * GRID, vertical: float = BUTTON_PAD
) -> ft.ButtonStyle:
    """White with a thin line; pale with a thick dark one when chosen: colour is not alone in saying so."""
    side = {
        ft.ControlState.DISABLED: ft.BorderSide(1, LINE),
        ft.ControlState.FOCUSED: ft.BorderSide(3, ACTION),
        ft.ControlState.DEFAULT: ft.BorderSide(2.5, ACTION) if chosen else ft.BorderSide(1, EDGE_LINE),
    }
    return ft.ButtonStyle(
        color={ft.ControlState.DISABLED: MUTED, ft.ControlState.DEFAULT: ON_PALE if chosen else INK},
        bgcolor=PALE if chosen else CARD,
        padding=ft.Padding.symmetric(horizontal=horizontal, vertical=vertical),
        side=side,
        shape=ft.RoundedRectangleBorder(radius=RADIUS_BUTTON),
    )
