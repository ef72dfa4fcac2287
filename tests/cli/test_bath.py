"""`intake bath`: its JSON keeps the schema, its words are whole, and what cannot be is one sentence."""

import json
from pathlib import Path

import jsonschema
import pytest

from intake.cli import main

SCHEMA = json.loads((Path(__file__).parents[2] / "shared" / "bath.schema.json").read_text(encoding="utf-8"))


@pytest.fixture
def run(capsys):
    def _run(*args):
        try:
            main(["bath", *args])
            code = 0
        except SystemExit as stop:
            code = int(stop.code or 0)
        said = capsys.readouterr()
        return code, said.out, said.err

    return _run


def document(run, *args):
    code, out, err = run(*args, "--json")
    assert (code, err) == (0, "")
    value = json.loads(out)
    jsonschema.validate(value, SCHEMA)
    return value


ETHANOL = ("0.93", "--solute", "ethanol", "--strength", "96%vol")


@pytest.mark.parametrize(
    "args",
    [
        ("1.08",),
        ("1.08 g/cm3", "--solute", "salt", "--volume", "2L"),
        ("0.9982",),
        ("1.25", "--solute", "sugar"),
        (*ETHANOL, "--temperature", "15°C"),
        ("0,95", "--solute", "isopropanol", "--strength", "70%vol", "--volume", "0.5L"),
        (
            "0.95",
            "--solute",
            "ethanol",
            "--strength",
            "92 % mass",
            "--temperature",
            "59 °F",
            "--scale",
            "0.1g",
        ),
        ("--from-recipe", "--water", "1L"),
        ("--from-recipe", "--solute", "salt", "--solute-mass", "160g", "--water", "1000g"),
    ],
)
def test_the_document_keeps_the_schema_and_its_own_arithmetic(run, args):
    value = document(run, *args)
    bath_g = value["solute_g"] + value["water_g"]
    pure_g = value["solute_g"] * value["strength_mass_fraction"]
    assert pure_g / bath_g == pytest.approx(value["mass_fraction"], abs=1e-5)
    assert bath_g / value["volume_ml"] == pytest.approx(value["density_g_cm3"], abs=1e-5)
    assert len(value["cautions"]) == len(value["caution_texts"])
    assert all("{" not in text for text in value["caution_texts"])


def test_the_way_back_gives_the_wanted_density(run):
    there = document(run, "0.93", "--solute", "ethanol", "--strength", "70%vol", "--temperature", "15")
    back = document(
        run,
        "--from-recipe",
        "--solute",
        "ethanol",
        "--strength",
        "70%vol",
        "--temperature",
        "15",
        "--solute-mass",
        f"{there['solute_g']}g",
        "--water",
        f"{there['water_g']}g",
    )
    assert back["density_g_cm3"] == pytest.approx(0.93, abs=2e-6)


def test_a_warm_alcohol_bath_is_refused_when_asked_for_but_told_when_mixed(run):
    code, out, err = run(*ETHANOL, "--temperature", "20°C", "--json")
    assert (code, out) == (1, "")
    assert "24 °C" in err
    assert "water" in err
    assert "Traceback" not in err
    mixed = document(
        run,
        "--from-recipe",
        "--solute",
        "ethanol",
        "--strength",
        "96%vol",
        "--solute-mass",
        "50g",
        "--water",
        "50g",
    )
    assert mixed["cautions"][0] == "alcohol_too_warm"


def test_a_warm_room_counts_as_a_warm_bath(run):
    assert run(*ETHANOL, "--temperature", "15")[0] == 0
    assert run(*ETHANOL, "--temperature", "15", "--room", "22")[0] == 1


@pytest.mark.parametrize(
    ("args", "told"),
    [
        ((), "DENSITY"),
        (("abc",), "DENSITY"),
        (("nan",), "DENSITY"),
        (("-1",), "such option"),
        (("0",), "DENSITY"),
        (("1e9",), "can reach"),
        (("1.3", "--solute", "salt"), "all that dissolves"),
        (("0.93", "--solute", "ethanol", "--temperature", "15"), "weighed out as if pure"),
        (("0.93",), "weighed out as if pure"),
        (("0.93", "--solute", "ethanol", "--strength", "70%"), "by volume or by mass"),
        (("0.93", "--solute", "ethanol", "--strength", ""), "by volume or by mass"),
        (("0.93", "--solute", "ethanol", "--strength", "120%vol"), "up to 100"),
        (("0.86", "--solute", "ethanol", "--strength", "70%vol", "--temperature", "10"), "bought alcohol"),
        (("1.08", "--temperature", "90°C"), "from 10 to 35"),
        (("1.08", "--temperature", "hot"), "--temperature"),
        (("1.08", "--volume", "0"), "--volume"),
        (("1.08", "--scale", "0g"), "--scale"),
        (("0.95", "--solute", "ethanol", "--strength", "96%vol", "--volume", "2L"), "0.5 L"),
        (("1.08", "--from-recipe", "--water", "1L"), "--from-recipe"),
        (("--from-recipe",), "Recipe"),
        (("--from-recipe", "--solute-mass", "10g", "--water", "1L"), "--solute"),
        (("--from-recipe", "--water", "1L", "--volume", "1L"), "--volume"),
        (("1.08", "--water", "1L"), "--water"),
        (("--from-recipe", "--solute", "salt", "--solute-mass", "800g", "--water", "1L"), "26.4 %"),
        (("1.08", "--solute", "honey"), "honey"),
        (("1.08", "--room", "900"), "Room temperature"),
    ],
)
def test_what_cannot_be_is_one_sentence_and_exit_2(run, args, told):
    code, out, err = run(*args)
    assert (code, out) == (2, "")
    assert told in err.replace("\n", " ")
    assert "Traceback" not in err


@pytest.mark.parametrize(
    ("args", "parts"),
    [
        (
            ("1.08",),
            ("Weigh 121 g of table salt", "960 mL", "Floats: PE-HD", "Each degree warmer", "+0.0076"),
        ),
        (
            (*ETHANOL, "--temperature", "15"),
            ("your ethanol", "catch fire from about 24 °C", "0.5 L", "a lid"),
        ),
        (("0.9982",), ("Plain water, 998 g", "Sinks: PET")),
    ],
)
def test_a_person_reads_recipe_care_drift_parting_and_cautions(run, args, parts):
    code, out, err = run(*args)
    assert (code, err) == (0, "")
    text = " ".join(out.split())
    for part in parts:
        assert part in text
    assert "{" not in text
    assert "bath." not in text
