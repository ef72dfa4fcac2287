"""`intake shred`, `intake bins` and `intake regroup` as a person and a program meet them."""

import json
import shutil
from pathlib import Path

import jsonschema
import pytest

from intake.cli import main
from intake.desk.desk import Desk
from intake.handbook import Handbook

SCHEMAS = Path(__file__).resolve().parents[2] / "shared"


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demo's table, sorted once."""
    out = tmp_path_factory.mktemp("demo")
    main(["demo", "--out", str(out)])
    return out / "ledger"


@pytest.fixture
def ledger(made: Path, tmp_path: Path) -> str:
    """A copy that a test may change."""
    shutil.copytree(made, tmp_path / "ledger")
    return str(tmp_path / "ledger")


def said(capsys: pytest.CaptureFixture[str], *args: str) -> str:
    capsys.readouterr()
    main(list(args))
    return capsys.readouterr().out


def refused(capsys: pytest.CaptureFixture[str], *args: str) -> tuple[int, str]:
    capsys.readouterr()
    with pytest.raises(SystemExit) as stop:
        main(list(args))
    return int(str(stop.value.code)), capsys.readouterr().err


def test_a_bin_is_shredded_and_listed_as_a_lot(ledger: str, capsys: pytest.CaptureFixture[str]) -> None:
    text = said(capsys, "shred", "qt-01", "1.43 lb", "--ledger", ledger)
    assert "Bin QT-01 is lot QT-L01 now: 649 g" in text
    plain = json.loads(said(capsys, "bins", "--ledger", ledger, "--json"))
    first = plain["bins"][0]
    assert (first["id"], first["stage"], first["lot"], first["items"]) == ("QT-01", "shredded", "QT-L01", 0)
    assert plain["lots"][0]["left_g"] == pytest.approx(648.6, abs=0.1)
    assert "QT-L01" in said(capsys, "bins", "--ledger", ledger)


def test_the_json_of_a_shredding_says_lot_expectation_and_bath(
    ledger: str, capsys: pytest.CaptureFixture[str]
) -> None:
    plain = json.loads(
        said(capsys, "shred", "QT-01", "850 g", "--tare", "210 g", "--ledger", ledger, "--json")
    )
    assert plain["lot"]["mass_g"] == 640.0
    assert plain["expected_g"]["low"] < 640.0 < plain["expected_g"]["high"]
    assert abs(plain["sigmas"]) < 2
    assert plain["float_pays"] is False
    assert plain["float_reasons"]


@pytest.mark.parametrize(
    ("args", "code", "sentence"),
    [
        (["QT-01", "9 kg"], 2, "that can have gone in"),
        (["QT-01", "63 g"], 1, "Look at the scale again"),
        (["QT-01", "nan g"], 2, "cannot use"),
        (["QT-01", "0 g"], 2, "above 0 g"),
        (["QT-77", "60 g"], 2, "one of the open bins"),
        (["QT-01", "640 g", "--shredder", "axe"], 2, "Shredder"),
        (["QT-01", "200 g", "--tare", "210 g"], 2, "above its tub of 210 g"),
    ],
)
def test_what_cannot_be_is_one_sentence_and_nothing_changes(
    ledger: str, capsys: pytest.CaptureFixture[str], args: list[str], code: int, sentence: str
) -> None:
    before = (Path(ledger) / "journal").read_bytes()
    exit_code, text = refused(capsys, "shred", *args, "--ledger", ledger)
    assert (exit_code, sentence in text) == (code, True)
    assert "Traceback" not in text
    assert (Path(ledger) / "journal").read_bytes() == before


@pytest.mark.parametrize(
    "command", [["bins"], ["regroup"], ["regroup", "--accept"], ["shred", "QT-01", "5 g"]]
)
def test_a_folder_without_a_ledger_is_told(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], command: list[str]
) -> None:
    code, text = refused(capsys, *command, "--ledger", str(tmp_path / "nothing"))
    assert code == 2
    assert "ledger" in text.casefold()


def test_a_surprising_weight_is_taken_when_it_is_right(
    ledger: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert "QT-L01" in said(capsys, "shred", "QT-01", "63 g", "--ledger", ledger, "--sure")


def test_nothing_moves_until_a_regrouping_is_accepted(
    ledger: str, capsys: pytest.CaptureFixture[str]
) -> None:
    from intake.desk.bin_life import split_bin

    assert "Everything lies well" in said(capsys, "regroup", "--ledger", ledger)
    with Desk.open(Path(ledger), Handbook()) as desk:
        split_bin(desk, "QT-04", desk.state.bins["QT-04"].items[:1])
    before = (Path(ledger) / "journal").read_bytes()
    plan = json.loads(said(capsys, "regroup", "--ledger", ledger, "--json"))
    assert (plan["bins_after"], plan["accepted"]) == (plan["bins_before"] - 1, False)
    assert "Nothing has moved yet" in said(capsys, "regroup", "--ledger", ledger)
    assert (Path(ledger) / "journal").read_bytes() == before
    accepted = json.loads(said(capsys, "regroup", "--ledger", ledger, "--accept", "--json"))
    assert (accepted["moves"], accepted["accepted"]) == (plan["moves"], True)
    assert json.loads(said(capsys, "regroup", "--ledger", ledger, "--json"))["moves"] == []


@pytest.mark.parametrize("name", ["bins", "shredding", "regrouping"])
def test_the_documents_keep_their_schemas(ledger: str, capsys: pytest.CaptureFixture[str], name: str) -> None:
    calls = {"bins": ["bins"], "shredding": ["shred", "QT-01", "640 g"], "regrouping": ["regroup"]}
    if name == "bins":
        said(capsys, "shred", "QT-02", "470 g", "--ledger", ledger)
    plain = json.loads(said(capsys, *calls[name], "--ledger", ledger, "--json"))
    store = json.loads((SCHEMAS / f"{name}.schema.json").read_text(encoding="utf-8"))
    jsonschema.Draft202012Validator(store).validate(plain)
