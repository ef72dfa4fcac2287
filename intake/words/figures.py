"""Numbers for people: never more digits than the doubt allows."""

import math

from intake.spread import Interval


def value_text(name: str, value: str | float) -> str:
    """A reason's value as text; the last part of its name says its unit (`share`, `mass_g`, `temp_c`)."""
    if isinstance(value, str):
        return value
    unit = name.rsplit("_", 1)[-1]
    if unit in {"share", "probability", "chance"}:
        return share_text(value)
    if unit == "g":
        return mass_text(value)
    if unit == "c":
        return f"{value:.0f} °C"
    return f"{value:g}"


def share_text(share: float) -> str:
    """A share as per cent: two digits near the ends, none in the middle; never 0 % or 100 % for a doubt."""
    percent = 100.0 * share
    if percent in (0.0, 100.0):
        return f"{percent:.0f} %"
    if percent < 0.1:  # noqa: PLR2004
        return "< 0.1 %"
    if percent > 99.9:  # noqa: PLR2004
        return "> 99.9 %"
    return f"{percent:.1f} %" if percent < 10 or percent > 95 else f"{percent:.0f} %"  # noqa: PLR2004


def mass_text(mass_g: float) -> str:
    """A mass in g below a kilogram and in kg above, to three digits; nothing at all is 0 g."""
    if mass_g == 0.0:
        return "0 g"
    if abs(mass_g) >= 1000:  # noqa: PLR2004
        return f"{mass_g / 1000:.2f} kg"
    return f"{mass_g:.0f} g" if abs(mass_g) >= 10 else f"{mass_g:.1f} g"  # noqa: PLR2004


def interval_parts(mass: Interval) -> tuple[str, str, str, str]:
    """Mean, low, high and unit of an amount as texts, to the digits the doubt allows, all in one unit."""
    kilo = mass.mean >= 1000  # noqa: PLR2004
    scale, unit = (1000.0, "kg") if kilo else (1.0, "g")
    width = (mass.high - mass.low) / scale
    if width > 0:  # the last digit shown is about a quarter of the width or finer by less than ten times
        digits = min(max(0, -math.floor(math.log10(width / 4))), 2)
    else:
        digits = 2 if kilo else int(mass.mean != 0.0)
    mean, low, high = (f"{v / scale:.{digits}f}" for v in (mass.mean, mass.low, mass.high))
    return mean, low, high, unit


def interval_text(mass: Interval) -> str:
    """An amount such as "41 g (36–45)", to the digits the doubt allows, in one unit."""
    mean, low, high, unit = interval_parts(mass)
    return f"{mean} {unit} ({low}–{high})" if low != high else f"{mean} {unit}"


def share_span_text(share: Interval) -> str:
    """An uncertain share such as "96 % (94–98)", to the digits the doubt allows; a doubt is never 0 or 100."""
    width = 100.0 * (share.high - share.low)
    if width <= 0.0:
        return share_text(share.mean)
    digits = min(max(0, -math.floor(math.log10(width / 4))), 2)
    least = 10.0**-digits
    mean, low, high = (
        f"{100.0 * v if v in (0.0, 1.0) else min(max(100.0 * v, least), 100.0 - least):.{digits}f}"
        for v in (share.mean, share.low, share.high)
    )
    return f"{mean} % ({low}–{high})"
