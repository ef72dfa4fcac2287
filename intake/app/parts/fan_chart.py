"""What is to be expected as more pieces come: the middle line, and the bands that half and most cases lie in."""

from collections.abc import Sequence
from dataclasses import dataclass

import flet as ft
import flet.canvas as cv

from intake.app.parts.pictures import spoken
from intake.app.parts.strokes import filled, stroked
from intake.app.theme import ACTION, DOUBT, GRID, INK, MUTED, TEXT_SMALL, TRACK

WIDTH, HEIGHT = 296.0, 136.0
_TOP = 1.25
"""[-] of the charge: the highest that is drawn where nothing lies higher."""
_MOST = 2.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Moment:
    """Shares [-] of the charge reached after so many more pieces."""

    pieces: int
    p5: float
    p25: float
    p50: float
    p75: float
    p95: float


def places(moments: Sequence[Moment], level: str, top: float) -> list[tuple[float, float]]:
    """[px] Where one percentile runs; `top` [-] is the share at the upper edge."""
    last = max(moments[-1].pieces, 1)
    return [
        (WIDTH * m.pieces / last, HEIGHT * (1.0 - min(max(getattr(m, level), 0.0), top) / top))
        for m in moments
    ]


def fan_chart(moments: Sequence[Moment], *, first: str, last: str, full: str, label: str) -> ft.Control:
    """The fan.

    Args:
        moments: at least one, by pieces.
        first: what stands beneath its left end.
        last: beneath its right end.
        full: what the line of the charge means.
        label: the whole fan in words.
    """
    top = min(max(_TOP, *(m.p95 for m in moments)), _MOST)
    line = HEIGHT * (1.0 - 1.0 / top)
    shapes: list[cv.Shape] = [
        _band(moments, "p5", "p95", top, TRACK),
        _band(moments, "p25", "p75", top, DOUBT),
        cv.Path(elements=_run(places(moments, "p50", top)), paint=stroked(ACTION, 2.5)),
        cv.Line(0, line, WIDTH, line, paint=stroked(INK, 1.5)),
    ]
    drawing = cv.Canvas(shapes, width=WIDTH, height=HEIGHT)
    ends = ft.Row([ft.Text(t, size=TEXT_SMALL, color=MUTED) for t in (first, last)], width=WIDTH)
    ends.alignment = ft.MainAxisAlignment.SPACE_BETWEEN
    column = ft.Column(
        [spoken(drawing, label), ends, ft.Text(full, size=TEXT_SMALL, color=MUTED)],
        spacing=GRID / 2,
        tight=True,
    )
    return ft.Row([ft.Container(column, expand=True, alignment=ft.Alignment.TOP_CENTER)])


def _band(moments: Sequence[Moment], low: str, high: str, top: float, colour: str) -> cv.Path:
    """The area between two percentiles."""
    edge = [*places(moments, high, top), *reversed(places(moments, low, top))]
    return cv.Path(elements=[*_run(edge), cv.Path.Close()], paint=filled(colour))


def _run(points: Sequence[tuple[float, float]]) -> list[cv.Path.PathElement]:
    """A line through these points."""
    return [cv.Path.MoveTo(*points[0]), *(cv.Path.LineTo(*p) for p in points[1:])]
