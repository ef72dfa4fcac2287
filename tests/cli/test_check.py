"""`intake check` as a person and a program meet it."""

import json
from pathlib import Path
from typing import Any

import jsonschema  # type: ignore[import-untyped]
import pytest

from intake.cli import main
from intake.cli.check import percent_text, window_text
from intake.handbook import Handbook
from intake.table.compat.windows import Window

SCHEMA = json.loads(
    (Path(__file__).resolve().parents[2] / "shared" / "compatibility.schema.json").read_text(encoding="utf-8")
)


def said(capsys: pytest.CaptureFixture[str], *args: str) -> str:
    main(["check", *args])
    return capsys.readouterr().out


def document(capsys: pytest.CaptureFixture[str], *args: str) -> dict[str, Any]:
    found: dict[str, Any] = json.loads(said(capsys, *args, "--json"))
    return found


@pytest.mark.parametrize(
    "args",
    [
        ("PE-HD", "PP", "--share", "5%"),
        ("PE-HD", "PVC"),
        ("PE-HD", "PET", "--share", "0.01", "--at", "200°C"),
        ("PE-HD", "PE-HD", "--host-form", "blow", "--guest-form", "injection"),
        ("TPU", "PP", "--share", "1%"),
        ("PE-HD", "other"),
        ("POM", "flame-retardant"),
        ("PVC-U", "PVC-P"),
    ],
)
def test_the_document_keeps_to_its_schema(capsys: pytest.CaptureFixture[str], args: tuple[str, ...]) -> None:
    jsonschema.validate(document(capsys, *args), SCHEMA)


def test_the_document_says_what_a_program_needs(capsys: pytest.CaptureFixture[str]) -> None:
    found = document(capsys, "PE-HD", "PP", "--share", "5%")
    assert (found["host"], found["guest"], found["rating"]) == ("PE-HD", "PP", "limited")
    assert (found["tolerated_share"], found["verdict_at_share"]) == (0.05, "accept")
    assert found["window_c"] == [185.0, 210.0]
    assert found["chi"] > found["chi_critical"] == 0.002
    assert "ISRI-2018" in found["sources"]
    assert found["hazards"]


@pytest.mark.parametrize(
    ("share", "verdict"),
    [("0", "accept"), ("5%", "accept"), ("0.05", "accept"), ("5,1 %", "refuse"), ("100%", "refuse")],
)
def test_a_share_is_judged(capsys: pytest.CaptureFixture[str], share: str, verdict: str) -> None:
    assert document(capsys, "PE-HD", "PP", "--share", share)["verdict_at_share"] == verdict


def test_without_a_share_there_is_no_verdict(capsys: pytest.CaptureFixture[str]) -> None:
    assert document(capsys, "PE-HD", "PP")["verdict_at_share"] is None


@pytest.mark.parametrize(
    ("name", "resin"),
    [
        ("HDPE", "PE-HD"), ("hdpe", "PE-HD"), ("LDPE", "PE-LD"), ("HIPS", "PS-HI"), ("2", "PE-HD"), ("5", "PP"),
        ("PVC-P", "PVC-P"), ("silicone", "silicone"), (">PE-HD<", "PE-HD"), ("pet", "PET"),
    ],
)  # fmt: skip
def test_marks_and_abbreviations_are_understood(
    capsys: pytest.CaptureFixture[str], name: str, resin: str
) -> None:
    assert document(capsys, "PP", name)["guest"] == resin


@pytest.mark.parametrize("host", sorted(Handbook().resins.rows))
def test_pvc_is_refused_at_any_share_in_any_host(capsys: pytest.CaptureFixture[str], host: str) -> None:
    found = document(capsys, host, "PVC", "--share", "0.001%")
    assert (found["rating"], found["verdict_at_share"], found["window_c"]) == ("hazard", "refuse", None)
    assert any("hydrogen chloride" in h for h in found["hazards"])
    assert "pvc-heat" in found["cautions"]


@pytest.mark.parametrize(
    ("args", "wanted"),
    [
        (("PE-HD", "PP", "--share", "120%"), "a share from 0 to 100 %"),
        (("PE-HD", "PP", "--share", "-1%"), "a share from 0 to 100 %"),
        (("PE-HD", "PP", "--share", "nan"), "a share from 0 to 100 %"),
        (("PE-HD", "PP", "--share", ""), "a share from 0 to 100 %"),
        (("PE-HD", "PP", "--share", "5"), "a share from 0 to 100 %"),
        (("PE-HD", "PP", "--share", "many"), "a share from 0 to 100 %"),
        (("PE-HD", "PPX"), "PP"),
        (("HPDE", "PP"), "nearest known"),
        (("", "PP"), "HOST"),
        (("PE-HD", "zzzzzz"), "GUEST"),
        (("PE-HD", "PAP"), "GUEST"),
        (("PE-HD", "PP", "--at", "warm"), "a temperature"),
        (("PE-HD", "PP", "--at", "-400"), "a temperature"),
        (("PE-HD", "PP", "--host-form", "blow"), "both forms or neither"),
    ],
)
def test_bad_input_is_one_sentence_and_exit_2(
    capsys: pytest.CaptureFixture[str], args: tuple[str, ...], wanted: str
) -> None:
    with pytest.raises(SystemExit) as stopped:
        main(["check", *args])
    out, err = capsys.readouterr()
    assert (stopped.value.code, out) == (2, "")
    assert wanted in err
    assert len(err.strip().splitlines()) == 1


@pytest.mark.parametrize(
    "wanted",
    [
        "185–210 °C (365–410 °F)", "oven thermometer", "15–25 °C", "dedicated oven", "ventilation", "bone-dry",
        "Not for food contact", "our estimate", "Computed, not measured",
    ],
)  # fmt: skip
def test_a_person_is_told_how_to_heat_it(capsys: pytest.CaptureFixture[str], wanted: str) -> None:
    assert wanted in " ".join(said(capsys, "PE-HD", "PP").split())


def test_pet_is_told_to_be_solid_where_pe_hd_ends(capsys: pytest.CaptureFixture[str]) -> None:
    text = " ".join(said(capsys, "PE-HD", "PET").split())
    assert "PET is still solid at 210 °C, where PE-HD is already at its upper limit" in text


@pytest.mark.parametrize(
    ("at", "wanted"), [("350°F", "inside its window"), ("250°F", "softens without melting")]
)
def test_what_a_temperature_does_is_told(capsys: pytest.CaptureFixture[str], at: str, wanted: str) -> None:
    assert wanted in " ".join(said(capsys, "PE-HD", "PE-HD", "--at", at).split())


@pytest.mark.parametrize(
    ("share", "text"), [(0.0, "0 %"), (0.0001, "0.01 %"), (0.05, "5 %"), (1 / 3, "33.3333 %"), (1.0, "100 %")]
)
def test_a_chosen_share_is_written_to_the_last_digit(share: float, text: str) -> None:
    assert percent_text(share) == text


def test_a_window_is_told_in_both_scales() -> None:
    assert window_text(Window(low_c=160.0, high_c=210.0)) == "160–210 °C (320–410 °F)"
