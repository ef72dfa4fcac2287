"""How far to the charge: a ring whose pale end is what we are not sure of."""

import math

import flet as ft
import flet.canvas as cv

from intake.app.parts.pictures import spoken
from intake.app.parts.strokes import stroked
from intake.app.theme import ACTION, DOUBT, GRID, INK, MUTED, TEXT_NUMBER, TEXT_SMALL, TRACK
from intake.spread import Interval

START, SWEEP = math.radians(135.0), math.radians(270.0)
_SIZE, _WIDTH = 256.0, 20.0

_DOT = 0.01
"""[rad] an arc so short that only its round ends show."""


def arcs(amount: Interval, full: float) -> tuple[tuple[float, float], tuple[float, float]]:
    """The sure and the doubtful arc as (start, sweep) in radians, cut at a full ring.

    `amount` and `full` share a unit; a `full` of nothing counts as reached.
    """
    low, high = (min(max(v / full, 0.0), 1.0) if full > 0 else 1.0 for v in (amount.low, amount.high))
    return (START, SWEEP * low), (START + SWEEP * low, SWEEP * max(high - low, 0.0))


def ring(amount: Interval, full: float, *, big: str, lines: tuple[str, ...], label: str) -> ft.Control:
    """The ring with its number in the middle, and lines that grow with the person's text size beneath.

    Args:
        amount: what is there, with its doubt.
        full: what closes the ring, in the same unit.
        big: the number as text; drawn at one size, since it has to fit the ring.
        lines: what stands beneath it, small.
        label: the whole ring in words.
    """
    style = ft.TextStyle(size=TEXT_NUMBER, color=INK)
    number = cv.Text(_SIZE / 2, _SIZE / 2, big, style=style, alignment=ft.Alignment.CENTER)
    drawing = cv.Canvas([*_band(amount, full), number], width=_SIZE, height=_SIZE * 0.87)
    texts = [ft.Text(t, size=TEXT_SMALL, color=MUTED, text_align=ft.TextAlign.CENTER) for t in lines]
    column = ft.Column(
        [drawing, *texts],
        spacing=GRID / 4,
        tight=True,
        horizontal_alignment=ft.CrossAxisAlignment.CENTER,
    )
    return ft.Row([ft.Container(spoken(column, label), expand=True, alignment=ft.Alignment.TOP_CENTER)])


def _band(amount: Interval, full: float) -> list[cv.Shape]:
    """The track, and on it the sure and the doubtful arc; only the ends of the track and the start are round."""
    sure, doubtful = arcs(amount, full)
    shapes: list[cv.Shape] = [_arc(START, SWEEP, TRACK, ft.StrokeCap.ROUND)]
    if sure[1] > 0:
        shapes.append(_arc(START, _DOT, ACTION, ft.StrokeCap.ROUND))
    if doubtful[1] > 0:
        shapes.append(_arc(*doubtful, DOUBT, ft.StrokeCap.BUTT))
    if sure[1] > 0:
        shapes.append(_arc(*sure, ACTION, ft.StrokeCap.BUTT))
    return shapes


def _arc(start: float, sweep: float, colour: str, cap: ft.StrokeCap) -> cv.Arc:
    """One arc of the ring."""
    paint = stroked(colour, _WIDTH)
    paint.stroke_cap = cap
    side = _SIZE - _WIDTH
    return cv.Arc(_WIDTH / 2, _WIDTH / 2, side, side, start_angle=start, sweep_angle=sweep, paint=paint)
