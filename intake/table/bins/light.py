"""Colours as light: sRGB undone to amounts that add up, and mixes of them."""

from collections.abc import Iterable
from math import isfinite

from intake.errors import BadInput

Rgb = tuple[int, int, int]
"""sRGB, each 0..255."""

Light = tuple[float, float, float]
"""Linear light of red, green and blue, 0..1 each; a mirror may be above 1."""

_FULL = 255.0


def light_of(rgb: Rgb) -> Light:
    """Linear light of an sRGB colour. Source: IEC 61966-2-1 transfer curve (from memory)."""
    red, green, blue = (_linear(v / _FULL) for v in rgb)
    return red, green, blue


def rgb_of(light: Light) -> Rgb:
    """The nearest sRGB colour; what lies outside 0..1 is cut."""
    red, green, blue = (round(_FULL * _curved(min(1.0, max(0.0, v)))) for v in light)
    return red, green, blue


def mixed(parts: Iterable[tuple[Light, float]]) -> Light:
    """What colours mixed by weight look like: their weighted mean in linear light.

    Args:
        parts: a colour and its weight (area in a picture, mass in a bin), the weights ≥ 0 and not all 0.

    Returns:
        The mean. This is what flakes side by side look like from a few steps away. Pressed into a sheet, pigments
        also shade one another: strong ones (black, blue) then weigh more than their share, and the sheet is
        darker than this.

    Raises:
        BadInput: a weight is negative or not finite, or they are all 0.
    """
    given = tuple(parts)
    total = sum(weight for _, weight in given)
    if not (isfinite(total) and total > 0.0 and all(weight >= 0.0 for _, weight in given)):
        raise BadInput(where="Colour mix", got=total, expected="weights of 0 or more, not all 0")
    red, green, blue = (sum(light[k] * weight for light, weight in given) / total for k in range(3))
    return red, green, blue


def _linear(value: float) -> float:
    """The sRGB curve undone."""
    return value / 12.92 if value <= 0.04045 else ((value + 0.055) / 1.055) ** 2.4  # noqa: PLR2004


def _curved(value: float) -> float:
    """The sRGB curve."""
    return 12.92 * value if value <= 0.0031308 else 1.055 * value ** (1.0 / 2.4) - 0.055  # noqa: PLR2004
