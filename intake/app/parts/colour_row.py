"""Colour groups to pick from: a swatch and its name, so that colour never speaks alone."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

import flet as ft

from intake.app.parts.buttons import answer_style, selectable
from intake.app.parts.kind_tile import tile_grid
from intake.app.theme import EDGE_LINE, GRID, INK, ON_PALE, TEXT_SMALL

_DOT = 18


@dataclass(frozen=True, slots=True, kw_only=True)
class Swatch:
    """One colour group: id, name, and `#RRGGBB` or nothing where no single colour shows it."""

    id: str
    name: str
    colour: str


def colour_row(
    swatches: Sequence[Swatch], chosen: str, on_choose: Callable[[str], Any], *, per_row: int = 4
) -> ft.Control:
    """Buttons in rows; `on_choose` makes the handler of one colour."""
    return tile_grid([_swatch(s, on_choose(s.id), chosen=s.id == chosen) for s in swatches], per_row=per_row)


def _swatch(swatch: Swatch, on_press: Any, *, chosen: bool) -> ft.Control:
    """One colour; the dot is silent."""
    dot = ft.Container(
        width=_DOT, height=_DOT, border_radius=_DOT, bgcolor=swatch.colour or None,
        border=ft.Border.all(1, EDGE_LINE),
    )  # fmt: skip
    text = ft.Text(swatch.name, size=TEXT_SMALL, color=ON_PALE if chosen else INK)
    content = ft.Column(
        [dot, text] if swatch.colour else [text],
        spacing=GRID / 2, tight=True, alignment=ft.MainAxisAlignment.CENTER,
        horizontal_alignment=ft.CrossAxisAlignment.CENTER,
    )  # fmt: skip
    style = answer_style(chosen=chosen, horizontal=GRID / 4, vertical=GRID)
    button = ft.OutlinedButton(content=content, style=style, on_click=on_press)
    return selectable(button, chosen, f"colour-{swatch.id}")
