"""The verdict as a wall: colour, shape and one word, then what to do with the hand."""

from types import MappingProxyType

import flet as ft
import flet.canvas as cv

from intake.app.parts.pictures import spoken
from intake.app.parts.question import heading
from intake.app.parts.strokes import filled, path, stroked
from intake.app.theme import GRID, RADIUS_WALL, TEXT_BODY, TEXT_SMALL, TEXT_VERDICT, WALLS
from intake.table.compat.decision import Verdict

_CHECK = "M 8 26 L 19 37 L 41 11"
_PAUSE = "M 11 8 L 19 8 L 19 40 L 11 40 Z M 29 8 L 37 8 L 37 40 L 29 40 Z"
_BAR = "M 6 20 L 42 20 L 42 29 L 6 29 Z"
SHAPES = MappingProxyType({Verdict.ACCEPT: _CHECK, Verdict.HOLD: _PAUSE, Verdict.REFUSE: _BAR})


def verdict_card(verdict: Verdict, word: str, act: str, *, detail: str = "") -> ft.Control:
    """A wall of colour.

    Args:
        verdict: which colour and shape.
        word: the verdict in one word.
        act: what to do with the hand.
        detail: what it is, small; may be empty.

    Returns:
        A live region: a screen reader says it when it appears.
    """
    wall, on_wall = WALLS[verdict.value]
    lines: list[ft.Control] = [
        _shape(verdict, on_wall),
        heading(word, level=1, size=TEXT_VERDICT, color=on_wall),
        ft.Text(act, size=TEXT_BODY, weight=ft.FontWeight.W_600, color=on_wall),
    ]
    if detail:
        lines.append(ft.Text(detail, size=TEXT_SMALL, color=on_wall))
    box = ft.Container(
        content=ft.Column(lines, spacing=GRID / 2, tight=True),
        bgcolor=wall,
        border_radius=RADIUS_WALL,
        padding=2.5 * GRID,
    )
    return ft.Semantics(content=box, live_region=True, container=True)


def _shape(verdict: Verdict, colour: str) -> ft.Control:
    """Check, pause bars or plain bar; the word beside it says the same."""
    paint = stroked(colour, 7) if verdict is Verdict.ACCEPT else filled(colour)
    return spoken(cv.Canvas([path(SHAPES[verdict], 1.0, paint)], width=48, height=48), "")
