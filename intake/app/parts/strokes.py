"""Pictures as short path strings, drawn as canvas shapes at any size.

Commands, all absolute, parted by spaces: `M x y`, `L x y`, `Q cx cy x y`, `C ax ay bx by x y`, `O x y w h`
(an oval in that box) and `Z`.
"""

from collections.abc import Iterator
from itertools import islice

import flet as ft
import flet.canvas as cv

BOX = 48.0
"""Side of the square that every picture is drawn in."""
_PLACES = {"M": 2, "L": 2, "Q": 4, "C": 6, "O": 4, "Z": 0}


def path(text: str, scale: float, paint: ft.Paint, *, left: float = 0.0, top: float = 0.0) -> cv.Path:
    """The path of `text`, `scale` px to a unit, moved by `left` and `top` px.

    Raises:
        ValueError: an unknown command or a number missing.
    """
    return cv.Path(elements=[_element(c, n, scale, left, top) for c, n in _commands(text)], paint=paint)


def filled(colour: str) -> ft.Paint:
    """Paint for an area."""
    return ft.Paint(color=colour, style=ft.PaintingStyle.FILL)


def stroked(colour: str, width: float) -> ft.Paint:
    """Paint for a line with round ends and corners; `width` in px."""
    return ft.Paint(
        color=colour,
        style=ft.PaintingStyle.STROKE,
        stroke_width=width,
        stroke_cap=ft.StrokeCap.ROUND,
        stroke_join=ft.StrokeJoin.ROUND,
    )


def _commands(text: str) -> Iterator[tuple[str, list[float]]]:
    """Each command with its numbers."""
    words = iter(text.split())
    for command in words:
        if command not in _PLACES:
            raise ValueError(f"unknown path command {command!r} in {text!r}")
        numbers = [float(w) for w in islice(words, _PLACES[command])]
        if len(numbers) < _PLACES[command]:
            raise ValueError(f"{command} wants {_PLACES[command]} numbers in {text!r}")
        yield command, numbers


def _element(
    command: str, numbers: list[float], scale: float, left: float, top: float
) -> cv.Path.PathElement:
    """One command as Flet's element."""
    if command == "O":
        x, y, width, height = numbers
        return cv.Path.Oval(left + x * scale, top + y * scale, width * scale, height * scale)
    moved = [n * scale + (top if i % 2 else left) for i, n in enumerate(numbers)]
    if command == "M":
        return cv.Path.MoveTo(*moved)
    if command == "L":
        return cv.Path.LineTo(*moved)
    if command == "Q":
        return cv.Path.QuadraticTo(*moved)
    return cv.Path.CubicTo(*moved) if command == "C" else cv.Path.Close()
