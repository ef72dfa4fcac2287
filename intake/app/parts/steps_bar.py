"""How far the item has come, as a thin bar without numbers."""

import flet as ft

from intake.app.theme import ACTION, TRACK


def steps_bar(done: int, total: int, *, label: str) -> ft.Control:
    """A bar of `total` pieces, the first `done` of them dark; `label` says it to a screen reader."""
    pieces: list[ft.Control] = [
        ft.Container(expand=True, height=4, border_radius=2, bgcolor=ACTION if i < done else TRACK)
        for i in range(total)
    ]
    return ft.Semantics(content=ft.Row(pieces, spacing=6), label=label, container=True, expand=True)
