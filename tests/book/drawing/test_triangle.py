from math import dist

import pytest

from intake.drawing.fonts import Fonts
from intake.drawing.triangle import HEIGHT_OF_SIDE, corners, triangle
from intake.handbook.locate import resources

BOLD = Fonts.of(resources() / "fonts").bold


@pytest.mark.parametrize("inward", [0.0, 5.0, 12.0])
def test_the_triangle_is_equilateral(inward: float) -> None:
    """ASTM D7611: the code stands in an equilateral triangle."""
    top, right, left = corners(100.0, inward)
    assert dist(top, right) == pytest.approx(dist(right, left)) == pytest.approx(dist(left, top))


@pytest.mark.parametrize("number", range(1, 8))
def test_the_outline_is_solid_and_the_number_stands_clear_of_it(number: int) -> None:
    """ASTM D7611: a solid outline, no arrows. Walk along the middle of each edge's line: ink everywhere."""
    high = 300
    mask = triangle(number, high, BOLD)
    side = high / HEIGHT_OF_SIDE
    points = corners(side, 0.04 * side)
    for start, end in zip(points, points[1:] + points[:1], strict=True):
        for step in range(101):
            x = start[0] + (end[0] - start[0]) * step / 100
            y = start[1] + (end[1] - start[1]) * step / 100
            assert mask.getpixel((round(x), round(y))) > 128
    clear = corners(side, 0.105 * side)
    for start, end in zip(clear, clear[1:] + clear[:1], strict=True):
        for step in range(101):
            x = start[0] + (end[0] - start[0]) * step / 100
            y = start[1] + (end[1] - start[1]) * step / 100
            assert mask.getpixel((round(x), round(y))) < 128


def test_seven_numbers_are_seven_pictures() -> None:
    assert len({triangle(n, 60, BOLD).tobytes() for n in range(1, 8)}) == 7
