"""Units at the doors only: what a person types is parsed here once, what a person reads is formatted once.

Inside the house every float carries its unit in its name. One registry, made on first use, because pint takes
a moment to load its definitions.
"""

import math
import re
import tokenize
from functools import cache
from typing import Any

from intake.errors import BadInput

_NUMBER = r"[-+]?(?:\d+(?:[.,]\d+)?|[.,]\d+)(?:[eE][-+]?\d+)?"
_QUANTITY = re.compile(rf"^\s*({_NUMBER})\s*(.*?)\s*$")
_UNIT_WORDS = {
    "l": "liter", "ml": "milliliter", "cl": "centiliter", "cc": "centimeter**3", "cm3": "centimeter**3",
    "cm³": "centimeter**3",
    "m3": "meter**3", "m³": "meter**3", "mm3": "millimeter**3", "mm³": "millimeter**3",
    "in3": "inch**3", "in³": "inch**3",
    "°c": "degree_Celsius", "c": "degree_Celsius", "degc": "degree_Celsius",
    "°f": "degree_Fahrenheit", "f": "degree_Fahrenheit", "degf": "degree_Fahrenheit", "k": "kelvin",
    "%": "percent", "g/cm3": "gram/centimeter**3", "g/cm³": "gram/centimeter**3", "lbs": "pound",
}  # fmt: skip


@cache
def registry() -> Any:
    """The one pint registry of the process."""
    import pint

    return pint.UnitRegistry(autoconvert_offset_to_baseunit=True)


def number(text: str, *, where: str, expected: str) -> float:
    """A finite number; a decimal comma is as good as a point.

    Raises:
        BadInput: it is no number, or it is infinite or NaN.
    """
    try:
        value = float(str(text).strip().replace(",", "."))
    except ValueError:
        raise BadInput(where=where, got=text, expected=expected) from None
    if not math.isfinite(value):
        raise BadInput(where=where, got=text, expected=expected)
    return value


def _quantity(text: str, unit: str, bare_unit: str, *, where: str, expected: str) -> float:
    """The value of `text` in `unit`; a bare number is read as `bare_unit`."""
    import pint

    match = _QUANTITY.match(str(text))
    if match is None:
        raise BadInput(where=where, got=text, expected=expected)
    value = number(match[1], where=where, expected=expected)
    word = match[2]
    try:
        given = registry().Quantity(value, _UNIT_WORDS.get(word.lower(), word or bare_unit))
        result = float(given.to(unit).magnitude)
    except (
        pint.errors.PintError,
        tokenize.TokenError,
        AssertionError,
        TypeError,
        ValueError,
        AttributeError,
        SyntaxError,
    ):
        raise BadInput(where=where, got=text, expected=expected) from None
    if not math.isfinite(result):
        raise BadInput(where=where, got=text, expected=expected)
    return result


MAX_MASS_G = 1e6
"""[g] more than a tonne on one table is a slip of the pen."""


def parse_mass_g(text: str, *, where: str, bare_unit: str = "gram", zero_ok: bool = False) -> float:
    """[g] A mass such as "12 g", "3,2 lb" or "1.2kg"; a bare number is grams unless said otherwise.

    Raises:
        BadInput: not a mass, not above 0 (or below 0 where `zero_ok`), or above a tonne.
    """
    expected = "a mass above 0 g and up to 1000 kg, such as 12 g, 1.2 kg or 3.2 lb"
    mass_g = _quantity(text, "gram", bare_unit, where=where, expected=expected)
    if mass_g < 0 or (mass_g == 0 and not zero_ok) or mass_g > MAX_MASS_G:
        raise BadInput(where=where, got=text, expected=expected)
    return mass_g


def parse_volume_cm3(text: str, *, where: str, bare_unit: str = "centimeter**3") -> float:
    """[cm3] A volume above zero such as "3600 cm3", "3.6 L" or "220 in3".

    Raises:
        BadInput: not a volume or not above 0.
    """
    expected = "a volume above 0, such as 3600 cm3, 3.6 L or 220 in3"
    volume_cm3 = _quantity(text, "centimeter**3", bare_unit, where=where, expected=expected)
    if volume_cm3 <= 0:
        raise BadInput(where=where, got=text, expected=expected)
    return volume_cm3


def parse_length_mm(text: str, *, where: str) -> float:
    """[mm] A length above zero such as "300 mm", "30 cm" or "12 in"; a bare number is millimetres.

    Raises:
        BadInput: not a length or not above 0.
    """
    expected = "a length above 0, such as 300 mm, 30 cm or 12 in"
    length_mm = _quantity(text, "millimeter", "millimeter", where=where, expected=expected)
    if length_mm <= 0:
        raise BadInput(where=where, got=text, expected=expected)
    return length_mm


def parse_temperature_c(text: str, *, where: str) -> float:
    """[degC] A temperature such as "20 °C", "350 °F" or "453 K"; a bare number is degrees Celsius.

    Raises:
        BadInput: not a temperature, or below absolute zero.
    """
    expected = "a temperature such as 20 °C or 350 °F"
    temp_c = _quantity(text, "degree_Celsius", "degree_Celsius", where=where, expected=expected)
    if temp_c < -273.15:  # noqa: PLR2004  absolute zero
        raise BadInput(where=where, got=text, expected=expected)
    return temp_c


def parse_share(text: str, *, where: str) -> float:
    """[-] A share between 0 and 1, written "5 %" or "0.05".

    Raises:
        BadInput: not a number, or outside 0 to 100 %.
    """
    expected = "a share from 0 to 100 %, such as 5 % or 0.05"
    raw = str(text).strip()
    value = number(raw.removesuffix("%"), where=where, expected=expected)
    share = value / 100.0 if raw.endswith("%") else value
    if not 0.0 <= share <= 1.0:
        raise BadInput(where=where, got=text, expected=expected)
    return share


def parse_with_doubt(text: str, *, where: str, expected: str) -> tuple[float, float | None]:
    """A value and its doubt from "0.955±0.004", "0.955 +/- 0.004" or "0.955" (doubt None).

    Raises:
        BadInput: a part is no number, or the doubt is negative.
    """
    parts = re.split(r"±|\+/-|\+-", str(text))
    if len(parts) > 2:  # noqa: PLR2004  a value and a doubt
        raise BadInput(where=where, got=text, expected=expected)
    value = number(parts[0], where=where, expected=expected)
    if len(parts) == 1:
        return value, None
    doubt = number(parts[1], where=where, expected=expected)
    if doubt < 0:
        raise BadInput(where=where, got=text, expected=expected)
    return value, doubt


def mass_in(mass_g: float, unit: str) -> float:
    """The mass in `unit` ("g", "kg", "oz", "lb"), for showing."""
    return float(registry().Quantity(mass_g, "gram").to(unit).magnitude)


def temperature_in_f(temp_c: float) -> float:
    """[degF] The temperature in degrees Fahrenheit, for showing."""
    return float(registry().Quantity(temp_c, "degree_Celsius").to("degree_Fahrenheit").magnitude)
