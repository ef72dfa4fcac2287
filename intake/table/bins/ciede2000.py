"""How different two colours look: CIEDE2000.

Source: Sharma, Wu, Dalal, "The CIEDE2000 Color-Difference Formula: Implementation Notes, Supplementary Test
Data, and Mathematical Observations", Color Research and Application 30(1), 2005, pages 21-30.
"""

from math import atan2, cos, degrees, exp, hypot, radians, sin, sqrt

from intake.table.bins.colour import Lab

_HALF_TURN = 180.0
_ROUNDING = 1e-9
"""[deg] two hues this close to opposite count as opposite: pairs 9 to 15 of the test data lie on the edge."""


def delta_e_2000(first: Lab, second: Lab) -> float:
    """Colour difference ΔE00 with all weights 1.

    Args:
        first: [-] a colour in CIELAB.
        second: [-] the other; the order does not matter.

    Returns:
        [-] ≥ 0; about 1 is just seen side by side, above 5 is another colour to most people.
    """
    boost = 1.0 + 0.5 * (1.0 - _high_chroma((hypot(first.a, first.b) + hypot(second.a, second.b)) / 2.0))
    c1, h1 = _polar(first.a * boost, first.b)
    c2, h2 = _polar(second.a * boost, second.b)
    turn = _turn(h1, h2) if c1 * c2 > 0.0 else 0.0
    lightness, chroma = (first.lightness + second.lightness) / 2.0, (c1 + c2) / 2.0
    hue = _mean_hue(h1, h2, grey=c1 * c2 == 0.0)

    off = (lightness - 50.0) ** 2
    d_l = (second.lightness - first.lightness) / (1.0 + 0.015 * off / sqrt(20.0 + off))
    d_c = (c2 - c1) / (1.0 + 0.045 * chroma)
    d_h = 2.0 * sqrt(c1 * c2) * sin(radians(turn / 2.0)) / (1.0 + 0.015 * chroma * _hue_weight(hue))
    twist = -2.0 * _high_chroma(chroma) * sin(radians(60.0 * exp(-(((hue - 275.0) / 25.0) ** 2))))
    return sqrt(max(0.0, d_l**2 + d_c**2 + d_h**2 + twist * d_c * d_h))


def _high_chroma(chroma: float) -> float:
    """0 for greys, toward 1 for vivid colours."""
    return sqrt(chroma**7 / (chroma**7 + 25.0**7))


def _polar(a: float, b: float) -> tuple[float, float]:
    """Chroma, and hue in degrees from 0 to 360."""
    return hypot(a, b), degrees(atan2(b, a)) % 360.0


def _turn(h1: float, h2: float) -> float:
    """[deg] the shorter way from one hue to the other, -180 to 180."""
    turn = h2 - h1
    if turn > _HALF_TURN + _ROUNDING:
        return turn - 360.0
    return turn + 360.0 if turn < -_HALF_TURN - _ROUNDING else turn


def _mean_hue(h1: float, h2: float, *, grey: bool) -> float:
    """[deg] the hue in the middle of the shorter way; a grey has no hue, so the other's counts alone."""
    if grey:
        return h1 + h2
    middle = (h1 + h2) / 2.0
    if abs(h1 - h2) <= _HALF_TURN + _ROUNDING:
        return middle
    return middle + _HALF_TURN if h1 + h2 < 2 * _HALF_TURN else middle - _HALF_TURN


def _hue_weight(hue: float) -> float:
    """The factor T: how hard the eye is on hue errors at this hue."""
    return (
        1.0
        - 0.17 * cos(radians(hue - 30.0))
        + 0.24 * cos(radians(2.0 * hue))
        + 0.32 * cos(radians(3.0 * hue + 6.0))
        - 0.20 * cos(radians(4.0 * hue - 63.0))
    )
