"""The sign of the app, drawn at start: flakes of shred above an open bin."""

from pathlib import Path
from types import MappingProxyType

from PIL import Image, ImageDraw

from intake.app.theme import LIGHT

Point = tuple[float, float]

_BIN: tuple[Point, ...] = ((0.22, 0.50), (0.78, 0.50), (0.70, 0.82), (0.30, 0.82))
_RIM: tuple[Point, ...] = ((0.18, 0.46), (0.82, 0.46), (0.82, 0.53), (0.18, 0.53))
_FLAKES: tuple[tuple[tuple[Point, ...], str], ...] = (
    (((0.30, 0.20), (0.43, 0.16), (0.46, 0.27), (0.35, 0.33)), LIGHT.pale),
    (((0.52, 0.26), (0.63, 0.24), (0.66, 0.35), (0.55, 0.39)), LIGHT.paper),
    (((0.64, 0.13), (0.74, 0.18), (0.69, 0.25)), "#8FC5BE"),
)
_DRAWN_PX = 1024
"""Drawn once so large and shrunk, for smooth edges."""

ICONS = MappingProxyType(
    {
        "favicon.png": (48, True),
        "icons/icon-192.png": (192, True),
        "icons/icon-512.png": (512, True),
        "icons/icon-maskable-192.png": (192, False),
        "icons/icon-maskable-512.png": (512, False),
        "icons/apple-touch-icon-192.png": (192, False),
    }
)
"""File → its side in px, and whether it has round corners; phones cut the others to their own shape."""


def icon(*, rounded: bool) -> Image.Image:
    """The sign, drawn large."""
    big = _DRAWN_PX
    image = Image.new("RGBA", (big, big), (0, 0, 0, 0) if rounded else LIGHT.action)
    pen = ImageDraw.Draw(image)
    if rounded:
        pen.rounded_rectangle((0, 0, big - 1, big - 1), radius=big * 0.22, fill=LIGHT.action)
    for points, colour in (*_FLAKES, (_BIN, LIGHT.pale), (_RIM, LIGHT.paper)):
        pen.polygon([(x * big, y * big) for x, y in points], fill=colour)
    return image


def write_icons(folder: Path) -> None:
    """All icon files of the web page, below `folder`."""
    drawn = {rounded: icon(rounded=rounded) for rounded in (False, True)}
    (folder / "icons").mkdir(parents=True, exist_ok=True)
    for name, (side_px, rounded) in ICONS.items():
        drawn[rounded].resize((side_px, side_px), Image.Resampling.LANCZOS).save(folder / name)
