"""Pictures as short path strings → points.

Commands, all absolute, parted by spaces: `M x y`, `L x y`, `Q cx cy x y`, `C ax ay bx by x y`, `O x y w h`
(an oval in that box) and `Z`. The same strings that the app draws on its canvas.
"""

from collections.abc import Iterator
from itertools import islice, pairwise
from math import cos, pi, sin
from types import MappingProxyType

Point = tuple[float, float]
_PLACES = MappingProxyType({"M": 2, "L": 2, "Q": 4, "C": 6, "O": 4, "Z": 0})
_STEPS = 16


def outlines(text: str, left: float, top: float, scale: float) -> list[list[Point]]:
    """Every part of the path as points, `scale` to a unit, moved by `left` and `top`.

    Raises:
        ValueError: an unknown command or a number missing.
    """
    found: list[list[Point]] = []
    for command, n in _commands(text):
        if command == "M":
            found.append([(n[0], n[1])])
        elif command == "O":
            found.append(_oval(*n))
        elif command == "Z":
            found[-1].append(found[-1][0])
        else:
            found[-1] += _curve(found[-1][-1], [(n[i], n[i + 1]) for i in range(0, len(n), 2)])
    return [[(left + x * scale, top + y * scale) for x, y in part] for part in found]


def curve(*points: Point) -> list[Point]:
    """A straight, quadratic or cubic Bézier curve through its ends, as points."""
    return [points[0], *_curve(points[0], list(points[1:]))]


def _curve(start: Point, rest: list[Point]) -> list[Point]:
    """De Casteljau's way from `start`, without it; a straight line needs its end only."""
    if len(rest) == 1:
        return rest
    return [_between([start, *rest], step / _STEPS) for step in range(1, _STEPS + 1)]


def _between(points: list[Point], share: float) -> Point:
    while len(points) > 1:
        pairs = pairwise(points)
        points = [(x + share * (u - x), y + share * (v - y)) for (x, y), (u, v) in pairs]
    return points[0]


def _oval(left: float, top: float, wide: float, high: float) -> list[Point]:
    turns = [2.0 * pi * step / (4 * _STEPS) for step in range(4 * _STEPS + 1)]
    middle_x, middle_y = left + wide / 2, top + high / 2
    return [(middle_x + wide / 2 * cos(turn), middle_y + high / 2 * sin(turn)) for turn in turns]


def _commands(text: str) -> Iterator[tuple[str, list[float]]]:
    words = iter(text.split())
    for command in words:
        if command not in _PLACES:
            raise ValueError(f"unknown path command {command!r} in {text!r}")
        numbers = [float(w) for w in islice(words, _PLACES[command])]
        if len(numbers) < _PLACES[command]:
            raise ValueError(f"{command} wants {_PLACES[command]} numbers in {text!r}")
        yield command, numbers
