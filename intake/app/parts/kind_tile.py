"""A kind of item to pick: our drawing over its name."""

from collections.abc import Sequence

import flet as ft

from intake.app.parts.buttons import Press, answer_style, selectable
from intake.app.parts.pictures import picture
from intake.app.theme import CARD, GRID, INK, ON_PALE, PALE, TEXT_SMALL


def kind_tile(
    name: str, drawing: str, on_press: Press, *, chosen: bool | None = None, key: str = ""
) -> ft.Control:
    """A pictured button called `name`; `drawing` is a name of `pictures.PICTURES`."""
    text = ft.Text(
        name, size=TEXT_SMALL, color=ON_PALE if chosen else INK, text_align=ft.TextAlign.CENTER, max_lines=3
    )
    content = ft.Column(
        [picture(drawing, 56, body=CARD if chosen else PALE), text],
        spacing=GRID,
        tight=True,
        horizontal_alignment=ft.CrossAxisAlignment.CENTER,
    )
    style = answer_style(chosen=bool(chosen), horizontal=GRID / 2, vertical=1.5 * GRID)
    button = ft.OutlinedButton(content=content, style=style, on_click=on_press)
    return selectable(button, chosen, key)


def tile_grid(tiles: Sequence[ft.Control], *, per_row: int) -> ft.Control:
    """Tiles in rows of `per_row`, all of a row as wide and as high as each other."""
    rows: list[ft.Control] = []
    for start in range(0, len(tiles), per_row):
        row = list(tiles[start : start + per_row])
        cells: list[ft.Control] = [ft.Container(tile, expand=True) for tile in row]
        cells += [ft.Container(expand=True) for _ in range(per_row - len(row))]
        rows.append(
            ft.Row(
                cells, spacing=GRID, intrinsic_height=True, vertical_alignment=ft.CrossAxisAlignment.STRETCH
            )
        )
    return ft.Column(rows, spacing=GRID, tight=True)
