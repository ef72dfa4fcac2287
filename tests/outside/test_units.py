"""Conversions against exact definitions and against pint's own registry."""

import pint
import pytest

from intake.errors import BadInput
from intake.units import parse_mass_g, parse_share, parse_temperature_c, parse_volume_cm3, temperature_in_f

REGISTRY = pint.UnitRegistry()


@pytest.mark.parametrize(
    ("text", "mass_g"),
    [
        pytest.param("1 lb", 453.59237, id="NIST SP 811 B.8: pound, exact"),
        pytest.param("1 oz", 28.349523125, id="NIST SP 811 B.8: ounce, exact"),
        pytest.param("3.2 lb", 3.2 * 453.59237, id="3.2 lb"),
        pytest.param("1,2 kg", 1200.0, id="decimal comma"),
        pytest.param("12", 12.0, id="bare number is grams"),
        pytest.param("500mg", 0.5, id="no space"),
    ],
)
def test_a_mass_is_read_in_grams(text: str, mass_g: float) -> None:
    assert parse_mass_g(text, where="x") == pytest.approx(mass_g, rel=1e-12)


@pytest.mark.parametrize("unit", ["lb", "oz", "kg", "g"])
def test_masses_agree_with_pint(unit: str) -> None:
    expected = REGISTRY.Quantity(7.25, unit).to("gram").magnitude
    assert parse_mass_g(f"7.25 {unit}", where="x") == pytest.approx(expected, rel=1e-12)


def test_350_f_is_176_67_c() -> None:
    # (350 − 32) / 1.8, the definition of the Fahrenheit scale
    assert parse_temperature_c("350 °F", where="x") == pytest.approx(176.67, abs=0.005)
    assert parse_temperature_c("350 °F", where="x") == pytest.approx((350 - 32) / 1.8, rel=1e-12)
    assert temperature_in_f(parse_temperature_c("350F", where="x")) == pytest.approx(350, abs=1e-9)


@pytest.mark.parametrize(
    ("text", "volume_cm3"),
    [
        ("3.6 L", 3600.0),
        ("3600 cm³", 3600.0),
        ("1 in3", 16.387064),
        ("2 gallon", 2 * 3785.411784),
        ("40", 40.0),
    ],
)
def test_a_volume_is_read_in_cm3(text: str, volume_cm3: float) -> None:
    assert parse_volume_cm3(text, where="x") == pytest.approx(volume_cm3, rel=1e-12)


@pytest.mark.parametrize(
    ("text", "share"), [("5 %", 0.05), ("5%", 0.05), ("0,05", 0.05), ("100 %", 1.0), ("0", 0.0)]
)
def test_a_share_is_read_as_a_fraction(text: str, share: float) -> None:
    assert parse_share(text, where="x") == pytest.approx(share)


@pytest.mark.parametrize(
    "text",
    [
        "",
        "  ",
        "abc",
        "nan",
        "inf",
        "-inf g",
        "-3 g",
        "0 g",
        "3 furlong",
        "1e9 kg",
        "3 g g(",
        "5 lb/",
        "1 2 g",
        "3 °C",
    ],
)
def test_what_is_no_mass_is_a_sentence(text: str) -> None:
    with pytest.raises(BadInput) as caught:
        parse_mass_g(text, where="Row 3, column gross")
    sentence = str(caught.value)
    assert sentence.startswith("Row 3, column gross: cannot use")
    assert "such as 12 g" in sentence
    assert sentence.endswith("Nothing was saved.")


@pytest.mark.parametrize("text", ["101 %", "-1 %", "1.2", "five", ""])
def test_a_share_outside_0_to_100_per_cent_is_refused(text: str) -> None:
    with pytest.raises(BadInput, match="share from 0 to 100 %"):
        parse_share(text, where="x")


@pytest.mark.parametrize("text", ["-300 °C", "hot", "5 g"])
def test_no_temperature_below_absolute_zero(text: str) -> None:
    with pytest.raises(BadInput, match="temperature"):
        parse_temperature_c(text, where="x")
