"""The flow picture: how much came in, and where it went, every band as thick as its mass."""

from collections.abc import Sequence
from dataclasses import dataclass

from intake.drawing.ink import Pattern, Rect, Tone
from intake.drawing.page import Page
from intake.drawing.paths import Point, curve
from intake.drawing.report_layout import SMALL_CAP, TEXT_CAP

BAR = 7.0
"""[mm] width of the bars at both ends."""
LABELS = 68.0
"""[mm] room for what is written on the right."""
SPACE = 2.4
"""[mm] between two bands where they end."""
LABEL_HEIGHT = 9.2
"""[mm] the least distance of two labels."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FlowPart:
    """Where a part of the mass went.

    Attributes:
        name: what it is called.
        detail: its mass and share in words.
        mass_g: [g] > 0.
        tone: its colour.
        pattern: its filling, which tells it apart in black.
    """

    name: str
    detail: str
    mass_g: float
    tone: Tone
    pattern: Pattern = Pattern.SOLID


@dataclass(frozen=True, slots=True, kw_only=True)
class Band:
    """One band, [mm] from the top of the picture: where it begins, where it ends, where its label stands."""

    begin: float
    end: float
    height: float
    label: float


def bands(masses_g: Sequence[float], height: float) -> tuple[Band, ...]:
    """Bands to scale: the same number of millimetres to a gram in all of them, at both ends.

    Args:
        masses_g: [g] each > 0.
        height: [mm] of the picture.
    """
    spread = SPACE * (len(masses_g) - 1)
    scale = (height - spread) / sum(masses_g)
    begin, end = spread / 2, 0.0
    made = []
    for mass_g in masses_g:
        high = mass_g * scale
        made.append((begin, end, high))
        begin, end = begin + high, end + high + SPACE
    labels = spaced([e + h / 2 for _, e, h in made], LABEL_HEIGHT, height)
    return tuple(Band(begin=b, end=e, height=h, label=at) for (b, e, h), at in zip(made, labels, strict=True))


def spaced(wanted: Sequence[float], least: float, height: float) -> list[float]:
    """Places near the wanted ones, in order, at least `least` apart, and within 0..height where they fit."""
    places: list[float] = []
    for place in wanted:
        places.append(max(place, places[-1] + least if places else least / 2))
    limit = height - least / 2
    for n in range(len(places) - 1, -1, -1):
        if places[n] <= limit:
            break
        places[n] = limit
        limit -= least
    return places


def draw_flow(page: Page, box: Rect, parts: Sequence[FlowPart], came: str, lines: Sequence[str]) -> None:
    """Paint the picture into a box: what came on the left, where it went on the right."""
    left, right = box.left + 34.0, box.right - LABELS
    found = bands([p.mass_g for p in parts], box.height)
    first, last = found[0].begin, found[-1].begin + found[-1].height
    for band, part in zip(found, parts, strict=True):
        _band(page, left + BAR, right - BAR, box.top, band, part)
    page.box(Rect(left, box.top + first, BAR, last - first), fill=Tone.INK)
    middle = box.top + (first + last) / 2
    page.text(came, left - 3.0, middle - 0.8, 1.5 * TEXT_CAP, bold=True, anchor="r", width=31.0)
    for row, line in enumerate(lines):
        base = middle + 2.0 + TEXT_CAP + row * 1.9 * TEXT_CAP
        page.text(line, left - 3.0, base, TEXT_CAP, tone=Tone.MUTED, anchor="r", width=31.0)
    for band, part in zip(found, parts, strict=True):
        _label(page, right, box, band, part)


def _band(page: Page, left: float, right: float, top: float, band: Band, part: FlowPart) -> None:
    """A curved band that keeps its thickness at both ends, and its bar."""
    reach = 0.5 * (right - left)
    upper = _side(left, right, reach, top + band.begin, top + band.end)
    lower = _side(left, right, reach, top + band.begin + band.height, top + band.end + band.height)
    page.shape([*upper, *reversed(lower)], part.tone, part.pattern)
    page.shape(Rect(right, top + band.end, BAR, band.height).outline, part.tone)


def _side(left: float, right: float, reach: float, begin: float, end: float) -> list[Point]:
    return curve((left, begin), (left + reach, begin), (right - reach, end), (right, end))


def _label(page: Page, right: float, box: Rect, band: Band, part: FlowPart) -> None:
    """Name and mass, with a fine line to the band where the label had to move."""
    at, end = box.top + band.label, box.top + band.end + band.height / 2
    page.stroke([(right + 1.0, end), (right + 4.5, at), (right + 6.0, at)], 0.25, Tone.MUTED)
    width = LABELS - 8.0
    page.text(part.name, right + 8.0, at - 0.5, TEXT_CAP, bold=True, width=width)
    page.text(part.detail, right + 8.0, at + 1.2 + SMALL_CAP, SMALL_CAP, tone=Tone.MUTED, width=width)
