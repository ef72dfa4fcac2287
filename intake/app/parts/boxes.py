"""The same plastic as four boxes to scale: a pile of whole pieces, shred, melt, the part."""

from collections.abc import Sequence

import flet as ft
import flet.canvas as cv

from intake.app.parts.pictures import spoken
from intake.app.parts.strokes import filled, stroked
from intake.app.theme import ACTION, DOUBT, GRID, INK, MUTED, TEXT_SMALL

WIDTH, HEIGHT = 296.0, 128.0
_GAP, _LEAST = 12.0, 3.0
Box = tuple[str, float, str]
"""What it is, its litres, and the litres as text."""


def sides(litres: Sequence[float], width: float = WIDTH, height: float = HEIGHT) -> tuple[float, ...]:
    """[px] The side of a cube's face for each volume, so that volumes compare as the cubes they would fill.

    The largest fits the height, all of them with gaps fit the width; what is there is never drawn as nothing.
    """
    roots = [max(v, 0.0) ** (1 / 3) for v in litres]
    if not any(roots):
        return tuple(_LEAST for _ in roots)
    room = width - _GAP * (len(roots) - 1)
    scale = min(height / max(roots), room / sum(roots))
    return tuple(max(r * scale, _LEAST) for r in roots)


def boxes(found: Sequence[Box], *, label: str) -> ft.Control:
    """Cubes seen from the front, side by side on one floor, and a line for each beneath."""
    faces = sides([litres for _, litres, _ in found])
    shapes: list[cv.Shape] = []
    left = 0.0
    for place, side in enumerate(faces):
        paint = filled(ACTION if place == len(faces) - 1 else DOUBT)
        shapes.append(cv.Rect(left, HEIGHT - side, side, side, border_radius=2, paint=paint))
        shapes.append(cv.Rect(left, HEIGHT - side, side, side, border_radius=2, paint=stroked(ACTION, 1.5)))
        left += side + _GAP
    drawing = cv.Canvas(shapes, width=WIDTH, height=HEIGHT)
    lines = [
        ft.Row(
            [
                ft.Text(name, size=TEXT_SMALL, color=MUTED, expand=True),
                ft.Text(text, size=TEXT_SMALL, color=INK),
            ]
        )
        for name, _, text in found
    ]
    picture = ft.Row([ft.Container(spoken(drawing, label), expand=True, alignment=ft.Alignment.TOP_CENTER)])
    return ft.Column([picture, *lines], spacing=GRID / 2, tight=True)
