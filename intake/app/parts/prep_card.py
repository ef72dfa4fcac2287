"""One thing to do before an item is clean: how, and what came of it."""

from collections.abc import Callable, Sequence
from typing import Any

import flet as ft

from intake.app.parts.buttons import answer_style, selectable
from intake.app.parts.cards import card
from intake.app.theme import GRID, INK, MUTED, ON_PALE, TEXT_BODY, TEXT_SMALL

Choice = tuple[str, str, bool, Callable[..., Any]]
"""Key, text, whether it is the chosen one, and what a tap does."""


def prep_card(
    title: str,
    lines: Sequence[str],
    choices: Sequence[Choice],
    *,
    key: str = "",
    more: Sequence[ft.Control] = (),
) -> ft.Control:
    """A title, the ways to do it, the answers side by side, and what else is asked beneath them."""
    texts: list[ft.Control] = [ft.Text(title, size=TEXT_BODY, weight=ft.FontWeight.W_600, color=INK)]
    texts += [ft.Text(line, size=TEXT_SMALL, color=MUTED) for line in lines]
    row = ft.Row([_answer(title, *c) for c in choices], spacing=GRID)
    return ft.Container(card([*texts, ft.Container(height=GRID / 2), row, *more]), key=key or None)


def _answer(title: str, key: str, text: str, chosen: bool, on_press: Callable[..., Any]) -> ft.Control:  # noqa: FBT001
    """One answer, named with its title for a screen reader, since several cards have the same words."""
    label = ft.Text(
        text, size=TEXT_SMALL, color=ON_PALE if chosen else INK, text_align=ft.TextAlign.CENTER,
        semantics_label=f"{title}: {text}",
    )  # fmt: skip
    style = answer_style(chosen=chosen, horizontal=GRID / 2, vertical=15)
    button = ft.OutlinedButton(content=label, style=style, on_click=on_press)
    return ft.Container(selectable(button, chosen, key), expand=True)
