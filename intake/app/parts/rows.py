"""Things that lie somewhere, one a row: an item with its drawing, a bin with its colour and how full it is."""

import flet as ft

from intake.app.parts.buttons import Press, answer_style, selectable
from intake.app.parts.pictures import picture
from intake.app.texts import kept_together
from intake.app.theme import (
    ACTION,
    EDGE_LINE,
    GRID,
    INK,
    MUTED,
    ON_PALE,
    TEXT_BODY,
    TEXT_QUESTION,
    TEXT_SMALL,
    TRACK,
)  # fmt: skip

_PICTURE, _SWATCH, _BAR = 40, 16, 8


def item_row(
    drawing: str, title: str, lines: tuple[str, ...], on_press: Press | None = None, *, key: str = ""
) -> ft.Control:
    """An item: drawing on the left, its name and what there is to say of it on the right; a button if pressed."""
    texts: list[ft.Control] = [ft.Text(title, size=TEXT_BODY, color=INK)]
    texts += [ft.Text(line, size=TEXT_SMALL, color=MUTED) for line in lines if line]
    row = ft.Row(
        [picture(drawing, _PICTURE), ft.Column(texts, spacing=2, tight=True, expand=True)],
        spacing=1.5 * GRID,
        vertical_alignment=ft.CrossAxisAlignment.START,
    )
    if on_press is None:
        return ft.MergeSemantics(row, key=key or None)
    style = answer_style(chosen=False, horizontal=1.5 * GRID, vertical=1.5 * GRID)
    return selectable(ft.OutlinedButton(content=row, style=style, on_click=on_press), None, key)


def bin_row(
    bin_id: str, lines: tuple[str, ...], on_press: Press, *, swatch: str, full: float, full_text: str,
    chosen: bool | None = None,
) -> ft.Control:  # fmt: skip
    """A bin as a button: id and colour, what it takes and holds, and a bar that says how full it is."""
    ink = ON_PALE if chosen else INK
    head: list[ft.Control] = [
        ft.Text(
            kept_together(bin_id), size=TEXT_QUESTION, weight=ft.FontWeight.W_600, color=ink, expand=True
        ),
        *colour_dot(swatch),
    ]
    texts: list[ft.Control] = [ft.Row(head, spacing=GRID)]
    texts += [ft.Text(line, size=TEXT_SMALL, color=ink if chosen else MUTED) for line in lines]
    texts += [fill_bar(full), ft.Text(full_text, size=TEXT_SMALL, color=ink if chosen else MUTED)]
    column = ft.Column(texts, spacing=GRID / 2, tight=True, expand=True)
    style = answer_style(chosen=bool(chosen), horizontal=2 * GRID, vertical=1.5 * GRID)
    button = ft.OutlinedButton(content=ft.Row([column]), style=style, on_click=on_press)
    return selectable(button, chosen, bin_id)


def colour_dot(swatch: str) -> list[ft.Control]:
    """The colour as a dot with a line round it, silent: its word stands beside it; none where none is true."""
    if not swatch:
        return []
    dot = ft.Container(
        width=_SWATCH,
        height=_SWATCH,
        bgcolor=swatch,
        border_radius=_SWATCH / 2,
        border=ft.Border.all(1, EDGE_LINE),
    )
    return [dot]


def fill_bar(full: float) -> ft.Control:
    """How full something is, 1 is full; silent: the text beside it says the same."""
    bar = ft.ProgressBar(
        value=min(max(full, 0.0), 1.0), bar_height=_BAR, border_radius=_BAR / 2, color=ACTION, bgcolor=TRACK
    )
    return ft.Semantics(content=bar, exclude_semantics=True)
