"""How to do a test, drawn by us: the float test, looking through a wall, how a base was made."""

from collections.abc import Callable, Mapping, Sequence
from types import MappingProxyType

from intake.drawing.ink import Rect, Tone
from intake.drawing.page import Page
from intake.drawing.paths import outlines

PEN = 0.6
LEVELS: Mapping[str, tuple[str, ...]] = MappingProxyType(
    {
        "float": ("floats", "sinks"),
        "transparency": ("clear", "translucent", "opaque"),
        "forming_mark": ("stretch_blow_nub", "pinch_seam", "injection_gate"),
    }
)
"""Sketch → what its panels show, from left to right."""


def draw_sketch(page: Page, name: str, box: Rect) -> list[Rect]:
    """Paint the sketch of that name into a box; returns the panels, to write under.

    Raises:
        KeyError: there is no such sketch.
    """
    count = len(LEVELS[name])
    gap = 4.0
    wide = (box.width - gap * (count - 1)) / count
    panels = [Rect(box.left + n * (wide + gap), box.top, wide, box.height) for n in range(count)]
    _SKETCHES[name](page, box, panels)
    return panels


def _float(page: Page, box: Rect, panels: Sequence[Rect]) -> None:
    """One bowl of water: a piece on the surface and one on the ground."""
    surface, ground = box.top + 0.36 * box.height, box.bottom - 1.0
    page.box(Rect(box.left, surface, box.width, ground - surface), fill=Tone.PALE, radius=2.0)
    wide, high, edge = box.width, box.height - 0.3, 3.0
    left_side = f"M 0 0 L 0 {high - edge} Q 0 {high} {edge} {high} L {wide - edge} {high}"
    glass = f"{left_side} Q {wide} {high} {wide} {high - edge} L {wide} 0"
    for part in outlines(glass, box.left, box.top, 1.0):
        page.stroke(part, 1.0)
    piece = (0.6 * panels[0].width, 0.2 * box.height)
    for panel, middle in zip(panels, (surface, ground - piece[1] / 2 - 0.6), strict=True):
        left = panel.left + (panel.width - piece[0]) / 2
        page.box(Rect(left, middle - piece[1] / 2, *piece), fill=Tone.ACTION, radius=1.2)
    for panel, up in zip(panels, (True, False), strict=True):
        _arrow(page, panel.left + panel.width / 2, box.top, box.height, up=up)


def _arrow(page: Page, x: float, top: float, height: float, *, up: bool) -> None:
    """Up under the piece that floats, down above the one that sinks."""
    tail, tip = (0.82, 0.58) if up else (0.44, 0.66)
    begin, end = top + tail * height, top + tip * height
    back = 1.8 if up else -1.8
    page.stroke([(x, begin), (x, end)], PEN)
    page.stroke([(x - 1.8, end + back), (x, end), (x + 1.8, end + back)], PEN)


def _transparency(page: Page, _box: Rect, panels: Sequence[Rect]) -> None:
    """A wall in front of print: read, only light, nothing."""
    for panel, tone in zip(panels, (None, Tone.PALE, Tone.ACTION), strict=True):
        sheet = Rect(panel.left, panel.top, panel.width, panel.height)
        page.box(sheet, line=Tone.LINE, radius=1.2)
        _print(page, sheet)
        inset = 0.2 * panel.width
        wall = Rect(panel.left + inset, panel.top + 2.2, panel.width - 2 * inset, panel.height - 4.4)
        if tone is not None:
            page.box(wall, fill=tone, radius=1.5)
        page.stroke(wall.outline, 0.9)


def _print(page: Page, sheet: Rect) -> None:
    """Lines of print."""
    row = 0.17 * sheet.height
    for number, words in enumerate(((0.5, 0.3), (0.25, 0.55), (0.4, 0.4), (0.6, 0.2), (0.35, 0.3))):
        x, y = sheet.left + 0.07 * sheet.width, sheet.top + (number + 0.95) * row
        for word in words:
            page.stroke([(x, y), (x + word * 0.8 * sheet.width, y)], 0.8, Tone.INK)
            x += (word * 0.8 + 0.09) * sheet.width


def _forming_mark(page: Page, _box: Rect, panels: Sequence[Rect]) -> None:
    """Three bases: a round nub, a straight seam, one small point."""
    for panel, mark in zip(panels, LEVELS["forming_mark"], strict=True):
        side = min(panel.width, panel.height) - 1.0
        left, top = panel.left + (panel.width - side) / 2, panel.top + 0.5
        (base,) = outlines("O 0 0 1 1", left, top, side)
        page.shape(base, Tone.PALE)
        page.stroke(base, 0.9)
        y = top + side / 2
        if mark == "stretch_blow_nub":
            (nub,) = outlines("O 0.38 0.38 0.24 0.24", left, top, side)
            page.shape(nub, Tone.ACTION)
            for turn in ("M 0.5 0.08 L 0.5 0.3", "M 0.12 0.72 L 0.3 0.61", "M 0.88 0.72 L 0.7 0.61"):
                page.stroke(outlines(turn, left, top, side)[0], 0.9)
        elif mark == "pinch_seam":
            page.stroke([(left + 1.5, y), (left + side - 1.5, y)], 1.3)
        else:
            (point,) = outlines("O 0.45 0.45 0.1 0.1", left, top, side)
            page.shape(point, Tone.ACTION)
            (ring,) = outlines("O 0.18 0.18 0.64 0.64", left, top, side)
            page.stroke(ring, 0.5)


_SKETCHES: Mapping[str, Callable[[Page, Rect, Sequence[Rect]], None]] = MappingProxyType(
    {"float": _float, "transparency": _transparency, "forming_mark": _forming_mark}
)
