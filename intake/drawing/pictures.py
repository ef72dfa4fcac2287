"""Our drawings of what lands on the table: a pale body, a dark detail, a line round both.

The path strings are those of the app; they stand here so that paper and screen show the same jug.
"""

from dataclasses import dataclass
from types import MappingProxyType

from intake.drawing.ink import Tone
from intake.drawing.page import Page
from intake.drawing.paths import outlines

BOX = 48.0
"""Side of the square that every picture is drawn in."""


@dataclass(frozen=True, slots=True)
class Picture:
    """Path strings in a box of 48 × 48: the pale body, dark areas, thin lines."""

    body: str
    solid: str = ""
    lines: str = ""


PICTURES = MappingProxyType(
    {
        "jug": Picture(
            body="M 17 11 L 27 11 L 27 14 C 33 17 39 20 39 27 L 39 41 Q 39 44 36 44 L 11 44 Q 8 44 8 41 "
            "L 8 26 C 8 19 14 17 17 14 Z",
            solid="M 16 4 L 28 4 L 28 10 L 16 10 Z",
            lines="M 28 20 C 30 23 29 28 30 31 Q 31 34 34 33 L 34 27 C 34 24 31 21 28 20 Z",
        ),
        "bottle": Picture(
            body="M 20 11 L 28 11 L 28 15 C 33 18 35 21 35 26 L 35 41 Q 35 44 32 44 L 16 44 Q 13 44 13 41 "
            "L 13 26 C 13 21 15 18 20 15 Z",
            solid="M 19 4 L 29 4 L 29 10 L 19 10 Z",
            lines="M 13 27 L 35 27 M 13 37 L 35 37",
        ),
        "cap": Picture(
            body="M 8 18 Q 8 14 12 14 L 36 14 Q 40 14 40 18 L 40 35 L 8 35 Z",
            solid="M 7 33 L 41 33 L 41 36 L 7 36 Z",
            lines="M 8 20 L 40 20 M 14 24 L 14 33 M 19 24 L 19 33 M 24 24 L 24 33 M 29 24 L 29 33 "
            "M 34 24 L 34 33",
        ),
        "tub": Picture(
            body="M 9 18 L 39 18 L 35 40 Q 35 43 32 43 L 16 43 Q 13 43 13 40 Z",
            solid="M 6 12 L 42 12 L 42 18 L 6 18 Z",
            lines="M 12 25 L 36 25",
        ),
        "pail": Picture(
            body="M 10 19 L 38 19 L 34 42 Q 34 44 32 44 L 16 44 Q 14 44 14 42 Z",
            solid="M 8 17 L 40 17 L 40 21 L 8 21 Z",
            lines="M 10 17 C 10 1 38 1 38 17",
        ),
        "tray": Picture(
            body="M 5 20 L 43 20 L 38 34 Q 37 36 35 36 L 13 36 Q 11 36 10 34 Z",
            solid="M 3 17 L 45 17 L 45 21 L 3 21 Z",
            lines="M 18 21 L 20 36 M 30 21 L 28 36",
        ),
        "bag": Picture(
            body="M 10 5 L 17 5 L 17 14 Q 17 19 24 19 Q 31 19 31 14 L 31 5 L 38 5 L 38 18 L 41 44 L 7 44 "
            "L 10 18 Z",
            lines="M 15 26 L 17 38 M 33 26 L 31 38 M 24 30 L 24 40",
        ),
        "box": Picture(
            body="M 5 14 L 43 14 L 43 42 L 5 42 Z",
            solid="M 18 18 L 30 18 L 30 22 L 18 22 Z",
            lines="M 5 26 L 43 26 M 5 34 L 43 34",
        ),
        "pipe": Picture(
            body="M 10 14 L 38 14 Q 44 14 44 24 Q 44 34 38 34 L 10 34 Q 4 34 4 24 Q 4 14 10 14 Z",
            solid="O 7 18 7 12",
            lines="M 10 14 Q 17 14 17 24 Q 17 34 10 34",
        ),
        "toy": Picture(
            body="M 4 34 L 4 26 Q 4 23 8 22 L 14 21 L 19 13 L 33 13 L 38 21 L 41 22 Q 44 23 44 26 L 44 34 Z",
            solid="O 9 29 11 11 O 28 29 11 11",
            lines="M 21 16 L 31 16 L 34 21 L 18 21 Z",
        ),
        "other": Picture(
            body="M 14 9 L 29 6 L 41 17 L 38 35 L 24 43 L 9 35 L 6 20 Z",
            lines="M 14 9 L 22 22 L 41 17 M 22 22 L 38 35 M 22 22 L 9 35",
        ),
    }
)
"""Name → drawing; `other` is a broken piece."""


def draw_picture(page: Page, name: str, left: float, top: float, side: float) -> None:
    """The drawing of that name, `side` [mm] square; an unknown one is drawn as a broken piece."""
    drawing, scale = PICTURES.get(name, PICTURES["other"]), side / BOX
    for part in outlines(drawing.body, left, top, scale):
        page.shape(part, Tone.PALE)
        page.stroke(part, 2.0 * scale)
    for part in outlines(drawing.solid, left, top, scale):
        page.shape(part, Tone.ACTION)
    for part in outlines(drawing.lines, left, top, scale):
        page.stroke(part, 1.6 * scale)
