"""`intake worth` as a person and a program meet it."""

import json
from pathlib import Path
from typing import Any

import jsonschema  # type: ignore[import-untyped]
import pytest

from intake.cli import main
from intake.handbook.locate import resources

SCHEMA = json.loads(
    (Path(__file__).resolve().parents[2] / "shared" / "worth.schema.json").read_text(encoding="utf-8")
)
DEMO = resources() / "demo"


def said(capsys: pytest.CaptureFixture[str], *args: str) -> str:
    main(["worth", str(DEMO / "sheet.csv"), *args])
    return capsys.readouterr().out


def document(capsys: pytest.CaptureFixture[str], *args: str) -> dict[str, Any]:
    found: dict[str, Any] = json.loads(said(capsys, *args, "--json"))
    return found


@pytest.mark.parametrize(
    "args",
    [
        (),
        ("--minutes", "90"),
        ("--minutes", "0"),
        ("--campaign", str(DEMO / "campaign.toml"), "--minutes", "12,5"),
    ],
)
def test_the_document_keeps_to_its_schema(capsys: pytest.CaptureFixture[str], args: tuple[str, ...]) -> None:
    jsonschema.validate(document(capsys, *args), SCHEMA)


def test_every_row_stands_once_and_the_best_first(capsys: pytest.CaptureFixture[str]) -> None:
    found = document(capsys)
    rates = [i["grams_per_minute"] for i in found["items"]]
    assert rates == sorted(rates, reverse=True)
    names = [i["item"] for i in (*found["items"], *found["left_out"])]
    assert len(names) == len(set(names)) == 60


def test_grams_and_minutes_make_the_rate(capsys: pytest.CaptureFixture[str]) -> None:
    for item in document(capsys)["items"]:
        rate = item["chance"] * item["shred_g"]["mean"] / item["minutes"]["mean"]
        assert item["grams_per_minute"] == pytest.approx(rate, rel=0.01)


def test_refused_rows_and_old_pigments_are_left_out(capsys: pytest.CaptureFixture[str]) -> None:
    left = {i["item"]: i for i in document(capsys, "--campaign", str(DEMO / "campaign.toml"))["left_out"]}
    assert {"a18", "a21", "a25", "a37"} <= set(left)
    assert all(i["grams_per_minute"] == 0 for i in left.values())


def test_two_minutes_do_not_fill_the_mould_and_it_says_so(capsys: pytest.CaptureFixture[str]) -> None:
    text = " ".join(said(capsys, "--campaign", str(DEMO / "campaign.toml"), "--minutes", "2").split())
    assert "do" in text
    assert "fill the mould" in text
    (charge,) = document(capsys, "--campaign", str(DEMO / "campaign.toml"), "--minutes", "2")["charges"]
    assert charge["chance"] < 0.05
    assert charge["reached_g"]["mean"] < charge["charge_g"]["mean"]


@pytest.mark.parametrize(
    "wanted",
    [
        "wash water", "warming that water", "melting it, in theory", "0.5 kg a batch", "1 kg a batch",
        "3 kg a batch", "new resin instead", "76.7 MJ", "S-PMC", "our estimate", "hand work",
        "Bleach and descaler never in one tub",
    ],
)  # fmt: skip
def test_a_person_reads_the_footprint_and_the_cautions(
    capsys: pytest.CaptureFixture[str], wanted: str
) -> None:
    assert wanted in " ".join(said(capsys).split())


@pytest.mark.parametrize(
    ("args", "wanted"),
    [
        (("--minutes", "-1"), "from 0 to 1440"),
        (("--minutes", "soon"), "such as 90"),
        (("--minutes", "nan"), "such as 90"),
        (("--minutes", "5000"), "from 0 to 1440"),
        (("--campaign", "nowhere.toml"), "Campaign file"),
        (("--ledger", "nowhere"), "a ledger"),
    ],
)
def test_bad_input_is_a_sentence_and_exit_2(
    capsys: pytest.CaptureFixture[str], args: tuple[str, ...], wanted: str
) -> None:
    with pytest.raises(SystemExit) as stopped:
        main(["worth", str(DEMO / "sheet.csv"), *args])
    out, err = capsys.readouterr()
    assert (stopped.value.code, out) == (2, "")
    assert wanted in err


def test_a_ledger_gives_its_pace_and_its_bins(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    main(["demo", "--out", str(tmp_path / "d"), "--json"])
    capsys.readouterr()
    more = tmp_path / "more.csv"
    more.write_text("item,kind,count,mark,tests\nz1,jug,9,2,float:water=floats\n", encoding="utf-8")
    ledger = str(tmp_path / "d" / "ledger")
    main(["worth", str(more), "--ledger", ledger, "--minutes", "30", "--json"])
    found = json.loads(capsys.readouterr().out)
    jsonschema.validate(found, SCHEMA)
    assert found["logged_rows"] > 1
    assert found["charges"][0]["have_g"]["mean"] > 1000
