"""Pictures of symbols as a phone might take them, from a seed: blurred, noisy, pale, tilted, half covered."""

from dataclasses import dataclass
from itertools import combinations

import numpy as np
from PIL import Image, ImageFilter

from intake.drawing.symbol import QUIET_MODULES, Symbol, encode

FAULTS = ("blur", "noise", "contrast", "perspective", "occlusion")
PAIRS = (*((f,) for f in FAULTS), *combinations(FAULTS, 2))
"""One or two faults: 5 + 10 ways."""
LEAST_PX = 4.0
_TILT = np.radians(30.0)
_CAMERA = 4.0
"""Distance of the camera in sides of the symbol."""
_MARGIN = 6
FINE = 8


@dataclass(frozen=True)
class Rendering:
    """A grey picture and the text that its symbol holds."""

    image: Image.Image
    text: str
    faults: tuple[str, ...]
    least_px: float


def render(seed: int) -> Rendering:
    """A picture with one or two faults, each at its full strength; where and which way it goes is by chance."""
    chance = np.random.default_rng(seed)
    faults = PAIRS[seed % len(PAIRS)]
    text = a_text(chance)
    symbol = encode(text)
    dark = np.array(symbol.modules)
    grey = np.where(dark, 0.0, 255.0)
    if "occlusion" in faults:
        grey = covered(grey, symbol, chance)
    page = np.pad(grey, QUIET_MODULES + _MARGIN, constant_values=255.0)
    wanted_px = chance.uniform(LEAST_PX, 7.0)
    if "perspective" in faults:
        picture, least_px = tilted(page, wanted_px, chance)
    else:
        picture, least_px = enlarged(page, wanted_px), wanted_px
    if "blur" in faults:
        picture = np.asarray(
            Image.fromarray(picture.astype(np.uint8)).filter(ImageFilter.GaussianBlur(1.0)), dtype=float
        )
    if "contrast" in faults:
        picture = chance.uniform(0.0, 0.6) * 255.0 + 0.4 * picture
    if "noise" in faults:
        picture = picture + chance.normal(0.0, 8.0, picture.shape)
    image = Image.fromarray(np.clip(np.round(picture), 0, 255).astype(np.uint8))
    return Rendering(image, text, faults, least_px)


def a_text(chance) -> str:
    """A payload of a tag or a lot, of any length that a label has."""
    from intake.table.labels.payload import LabelKind, Payload

    number = int(chance.integers(1, 99))
    resin = chance.choice(["PE-HD (2)", "PP (5)", "PE-LLD (4), filled"])
    if chance.random() < 0.5:
        return Payload(
            kind=LabelKind.TAG, ids=(f"QT-{number:02d}",), line=f"Bin QT-{number:02d}: {resin}, blue, blow"
        ).text
    ids = (f"QT-L{number:02d}", f"QT-{number:02d}")
    return Payload(kind=LabelKind.LOT, ids=ids, line=f"Lot {ids[0]}: {resin}, 1.24 kg, natural").text


def enlarged(page, px: float):
    """Every module `px` pixels wide, which need not be a whole number; edges are grey where they fall between."""
    side = round(len(page) * px)
    return np.asarray(fine(page).resize((side, side), Image.Resampling.BOX), dtype=float)


def fine(page):
    """The page with every module eight pixels wide."""
    return Image.fromarray(page.astype(np.uint8)).resize((len(page) * FINE,) * 2, Image.Resampling.NEAREST)


def tilted(page, least_px: float, chance):
    """Seen by a pinhole camera: turned by 30 degrees about an axis in its plane, and any way round in the picture.

    The scale is such that the smallest module side in the picture is `least_px`.
    """
    n = len(page)
    turn, spin = chance.uniform(0, 2 * np.pi, 2)
    x, y = np.cos(turn), np.sin(turn)
    across = np.array([[0, 0, y], [0, 0, -x], [-y, x, 0]])
    tilt = np.eye(3) + np.sin(_TILT) * across + (1 - np.cos(_TILT)) * across @ across
    flat = np.array([[np.cos(spin), -np.sin(spin), 0], [np.sin(spin), np.cos(spin), 0], [0, 0, 1]])
    rotation = flat @ tilt
    # a point of the page in modules from its middle -> picture
    view = np.column_stack([rotation[:, 0], rotation[:, 1], [0, 0, _CAMERA * n]])
    u, v = (w.ravel() for w in np.meshgrid(*[np.linspace(-n / 2, n / 2, 9)] * 2))

    def seen(u, v):
        x, y, w = view @ np.stack([u, v, np.ones(u.size)])
        return np.stack([x / w, y / w])

    here = seen(u, v)
    steps = [np.linalg.norm(seen(u + a, v + b) - here, axis=0) for a, b in ((1, 0), (0, 1))]
    scale = least_px / min(s.min() for s in steps)
    low, high = here.min(axis=1) * scale - 4, here.max(axis=1) * scale + 4
    size = np.ceil(high - low).astype(int)
    to_picture = np.array([[2 * scale, 0, -2 * low[0]], [0, 2 * scale, -2 * low[1]], [0, 0, 1]]) @ view
    back = np.linalg.inv(to_picture)
    to_fine = np.array([[FINE, 0, FINE * n / 2], [0, FINE, FINE * n / 2], [0, 0, 1]]) @ back
    numbers = (to_fine / to_fine[2, 2]).ravel()[:8]
    how = Image.Transform.PERSPECTIVE
    double = fine(page).transform(
        tuple(2 * size), how, tuple(numbers), Image.Resampling.BILINEAR, fillcolor=255
    )
    return np.asarray(double.resize(tuple(size), Image.Resampling.BOX), dtype=float), least_px


def covered(grey, symbol: Symbol, chance, share: float = 0.15):
    """A share of the modules hidden by one grey rectangle, off the finder and alignment patterns."""
    n = len(grey)
    kept = np.zeros((n, n), dtype=bool)
    kept[:8, :8] = kept[:8, -8:] = kept[-8:, :8] = True
    if symbol.version > 1:
        at = n - 7
        kept[at - 2 : at + 3, at - 2 : at + 3] = True
    area = share * n * n
    while True:
        shape = chance.uniform(0.5, 2.0)
        high = round(np.sqrt(area * shape))
        wide = round(area / high)
        top, left = chance.integers(0, n - high + 1), chance.integers(0, n - wide + 1)
        patch = np.zeros((n, n), dtype=bool)
        patch[top : top + high, left : left + wide] = True
        if not (patch & kept).any():
            break
    result = grey.copy()
    result[patch] = chance.uniform(0, 255)
    return result
