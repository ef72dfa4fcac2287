"""Framed pieces of text: a reason, a caution, a bin."""

import flet as ft

from intake.app.parts.buttons import Press, answer_style
from intake.app.theme import (
    CARD,
    GRID,
    INK,
    LINE,
    MUTED,
    RADIUS_CARD,
    TEXT_BODY,
    TEXT_QUESTION,
    TEXT_SMALL,
)  # fmt: skip

_THICK = 8
"""[px] left edge of a caution."""


def card(lines: list[ft.Control], *, tight: bool = False, edge: str = LINE) -> ft.Container:
    """A box with a thin line and no shadow."""
    pad = ft.Padding.symmetric(horizontal=2 * GRID, vertical=GRID / 2 if tight else 1.5 * GRID)
    return ft.Container(
        content=ft.Column(
            lines, spacing=GRID / 2, tight=True, horizontal_alignment=ft.CrossAxisAlignment.STRETCH
        ),
        padding=pad,
        bgcolor=CARD,
        border=ft.Border.all(1, edge),
        border_radius=RADIUS_CARD,
    )


def reason_card(title: str, lines: tuple[str, ...], *, key: str = "") -> ft.Control:
    """A title and what stands behind it, one sentence a line; read out as one piece."""
    texts: list[ft.Control] = [ft.Text(title, size=TEXT_BODY, weight=ft.FontWeight.W_600, color=INK)]
    texts += [ft.Text(line, size=TEXT_SMALL, color=MUTED) for line in lines]
    return ft.MergeSemantics(card(texts), key=key or None)


def caution_card(title: str, lines: tuple[str, ...], *, key: str = "") -> ft.Control:
    """A caution: a sign, a thick edge in the colour of refusal, and what to do; never colour alone."""
    head = ft.Row(
        [
            ft.Icon(ft.Icons.WARNING_AMBER_ROUNDED, color=ft.Colors.ERROR, size=24),
            ft.Text(title, size=TEXT_BODY, weight=ft.FontWeight.W_600, color=INK, expand=True),
        ],
        spacing=GRID,
    )
    texts: list[ft.Control] = [head, *(ft.Text(line, size=TEXT_SMALL, color=INK) for line in lines)]
    box = card(texts, edge=ft.Colors.ERROR)
    thick = ft.Container(
        box, bgcolor=ft.Colors.ERROR, border_radius=RADIUS_CARD, padding=ft.Padding.only(left=_THICK)
    )
    return ft.MergeSemantics(thick, key=key or None)


def bin_tile(bin_id: str, line: str, amount: str, on_press: Press, *, key: str = "") -> ft.Control:
    """A bin as a button: its id large, what it holds and how much beneath."""
    texts: list[ft.Control] = [
        ft.Text(bin_id, size=TEXT_QUESTION, weight=ft.FontWeight.W_600, color=INK),
        ft.Text(line, size=TEXT_SMALL, color=MUTED),
        ft.Text(amount, size=TEXT_BODY, color=INK),
    ]
    column = ft.Column(texts, spacing=2, tight=True, expand=True)
    return ft.OutlinedButton(
        content=ft.Row([column]),
        style=answer_style(chosen=False, horizontal=2 * GRID, vertical=1.5 * GRID),
        on_click=on_press,
        key=key or bin_id,
    )
