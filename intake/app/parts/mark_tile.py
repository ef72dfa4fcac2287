"""A resin mark to pick: a plain triangle with its number, and the letters beneath."""

import flet as ft
import flet.canvas as cv

from intake.app.parts.buttons import Press, answer_style, selectable
from intake.app.parts.pictures import spoken
from intake.app.parts.strokes import path, stroked
from intake.app.texts import kept_together
from intake.app.theme import GRID, INK, ON_PALE, TEXT_BODY, TEXT_SMALL

_TRIANGLE = "M 24 6 L 44 41 L 4 41 Z"
_SIZE = 48.0


def mark_tile(
    number: str, letters: str, on_press: Press, *, chosen: bool | None = None, key: str = ""
) -> ft.Control:
    """A button named `number letters`; without a number (no mark) the letters stand alone."""
    colour = ON_PALE if chosen else INK
    text = ft.Text(kept_together(letters), size=TEXT_SMALL, color=colour, text_align=ft.TextAlign.CENTER)
    content = ft.Column(
        [_sign(number, colour), text] if number else [text],
        spacing=GRID / 2, tight=True, alignment=ft.MainAxisAlignment.CENTER,
        horizontal_alignment=ft.CrossAxisAlignment.CENTER,
    )  # fmt: skip
    style = answer_style(chosen=bool(chosen), horizontal=GRID / 2, vertical=1.5 * GRID)
    button = ft.OutlinedButton(content=content, style=style, on_click=on_press)
    return selectable(button, chosen, key)


def _sign(number: str, colour: str) -> ft.Control:
    """The triangle with its number, which a screen reader says."""
    style = ft.TextStyle(size=TEXT_BODY, weight=ft.FontWeight.W_600, color=colour)
    shapes = [
        path(_TRIANGLE, 1.0, stroked(colour, 2.5)),
        cv.Text(24, 29, number, style=style, alignment=ft.Alignment.CENTER),
    ]
    return spoken(cv.Canvas(shapes, width=_SIZE, height=_SIZE), number)
