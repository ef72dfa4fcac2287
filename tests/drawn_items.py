"""Pictures of items as a camera might see them, drawn with numpy: known colours under a known light."""

import numpy as np
from PIL import Image, ImageDraw

from intake.table.bins.light import light_of, rgb_of

SIZE = (480, 360)
DAY = (1.0, 1.0, 1.0)
LAMP = (1.0, 0.84, 0.62)
SHADE = (0.82, 0.93, 1.0)
PAPER = (0.876, 0.876, 0.876)
WOOD = (0.30, 0.19, 0.10)
SLATE = (0.05, 0.055, 0.06)


def ellipse(box):
    """Where an ellipse is, with soft edges."""
    big = Image.new("L", (SIZE[0] * 2, SIZE[1] * 2))
    ImageDraw.Draw(big).ellipse([2 * v for v in box], fill=255)
    return np.asarray(big.resize(SIZE, Image.Resampling.BOX), dtype=float)[..., None] / 255.0


def rectangle(box):
    mask = np.zeros((SIZE[1], SIZE[0], 1))
    mask[box[1] : box[3], box[0] : box[2]] = 1.0
    return mask


def photo(body, light=DAY, ground=PAPER, *, label=None, print_on=False, seed=1, paper_box=None, exposure=1.0):
    """A bottle-shaped body of one sRGB colour on a ground, shaded from left to right, seen in a light.

    Args:
        body: sRGB of the body.
        light: linear light of each channel, relative to white.
        ground: linear reflectance of what it lies on.
        label: sRGB of a label on the body; None for none.
        print_on: dark lines of print on the label.
        seed: of the noise.
        paper_box: where a sheet of paper lies on the ground; None for none.
        exposure: how much light the camera lets in, 1 where paper is just not clipped.
    """
    x = np.linspace(0, 1, SIZE[0])[None, :, None]
    scene = np.broadcast_to(np.array(ground), (SIZE[1], SIZE[0], 3)).copy()
    if paper_box:
        mask = rectangle(paper_box)
        scene = scene * (1 - mask) + np.array(PAPER) * mask
    shade = 1.12 - 0.24 * (x - 0.25) / 0.5
    colour = np.array(light_of(body)) * np.clip(shade, 0.88, 1.12)
    mask = ellipse((130, 60, 350, 320))
    if label is not None:
        on = rectangle((190, 130, 290, 250))
        colour = colour * (1 - on) + np.array(light_of(label)) * on
        if print_on:
            for top in range(138, 246, 9):
                line = rectangle((196, top, 284, top + 4)) * ((np.arange(SIZE[0]) // 4 % 2)[None, :, None])
                colour = colour * (1 - line) + 0.02 * line
    scene = scene * (1 - mask) + colour * mask
    seen = np.clip(scene * np.array(light) * exposure, 0, 1)
    curved = np.where(seen <= 0.0031308, 12.92 * seen, 1.055 * np.maximum(seen, 1e-9) ** (1 / 2.4) - 0.055)
    noisy = curved * 255 + np.random.default_rng(seed).normal(0, 2.0, curved.shape)
    return Image.fromarray(np.clip(np.round(noisy), 0, 255).astype(np.uint8))


def true_rgb(body):
    """The body's colour as drawn, for comparison."""
    return rgb_of(light_of(body))
