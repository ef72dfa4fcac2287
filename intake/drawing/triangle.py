"""The resin code in a plain equilateral triangle.

ASTM D7611 asks for a solid outline; arrows that chase each other would promise that somebody takes it back.
"""

from math import sqrt

from PIL import Image, ImageDraw

from intake.drawing.fonts import Face

HEIGHT_OF_SIDE = sqrt(3.0) / 2.0
_LINE_OF_SIDE = 0.08
_NUMBER_OF_SIDE = 0.27
_SMOOTH = 4


def triangle(number: int, height_px: int, face: Face) -> Image.Image:
    """A mask (mode "L", 255 is ink) of a triangle `height_px` high, point up, with the number inside."""
    high = height_px * _SMOOTH
    side = high / HEIGHT_OF_SIDE
    mask = Image.new("L", (round(side), high), 0)
    draw = ImageDraw.Draw(mask)
    draw.polygon(corners(side, 0.0), fill=255)
    draw.polygon(corners(side, _LINE_OF_SIDE * side), fill=0)
    centre_y = high - 0.5 * _NUMBER_OF_SIDE * side - 1.8 * _LINE_OF_SIDE * side
    font = face.at(_NUMBER_OF_SIDE * side)
    left, top, right, bottom = font.getbbox(str(number), anchor="ls")
    draw.text((side / 2 - (left + right) / 2, centre_y - (top + bottom) / 2), str(number), 255, font, "ls")
    return mask.resize((round(side / _SMOOTH), height_px), Image.Resampling.BOX)


def corners(side: float, inward: float) -> list[tuple[float, float]]:
    """Top, right and left corner of an equilateral triangle, each edge moved `inward`, in its own box."""
    high = side * HEIGHT_OF_SIDE
    return [
        (side / 2, 2 * inward),
        (side - sqrt(3.0) * inward, high - inward),
        (sqrt(3.0) * inward, high - inward),
    ]
