"""A question that has to be answered before anything else."""

import flet as ft

from intake.app.parts.buttons import Press, primary_button, quiet_button
from intake.app.theme import GAP, GRID, INK, MUTED, PAPER, RADIUS_CARD, TEXT_BODY, TEXT_SMALL


def ask(title: str, text: str, *, yes: str, no: str, on_yes: Press, on_no: Press) -> ft.AlertDialog:
    """The question with its two answers under one another, large enough for a wet thumb."""
    answers: list[ft.Control] = [primary_button(yes, on_yes), quiet_button(no, on_no)]
    column = ft.Column(
        [ft.Text(text, size=TEXT_SMALL, color=MUTED), *answers],
        spacing=GAP,
        tight=True,
        horizontal_alignment=ft.CrossAxisAlignment.STRETCH,
    )
    return ft.AlertDialog(
        title=ft.Text(title, size=TEXT_BODY, weight=ft.FontWeight.W_600, color=INK),
        content=ft.Container(column, width=40 * GRID),
        bgcolor=PAPER,
        shape=ft.RoundedRectangleBorder(radius=RADIUS_CARD),
        modal=True,
        scrollable=True,
        on_dismiss=on_no,
    )
