"""`intake sort` and `intake demo` as a person and as a program call them."""

import json
import shutil
import subprocess
import sys
from pathlib import Path

import jsonschema
import pytest
import zxingcpp
from desk_helpers import rows_of
from PIL import Image
from pyzbar import pyzbar

from intake.cli import main

SHARED = Path(__file__).resolve().parents[2] / "shared"


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder in which `intake demo` ran as a process, its JSON beside it."""
    out = tmp_path_factory.mktemp("demo")
    run = subprocess.run(
        [sys.executable, "-m", "intake", "demo", "--out", str(out), "--json"],
        check=True,
        capture_output=True,
        text=True,
    )
    (out / "printed.json").write_text(run.stdout, encoding="utf-8")
    return out


def test_the_printed_json_is_the_summary_and_fits_its_schema(demo: Path) -> None:
    printed = json.loads((demo / "printed.json").read_text(encoding="utf-8"))
    assert printed == json.loads((demo / "summary.json").read_text(encoding="utf-8"))
    jsonschema.validate(printed, json.loads((SHARED / "summary.schema.json").read_text(encoding="utf-8")))


def test_the_demo_balance_closes_within_a_tenth_of_a_gram(demo: Path) -> None:
    made = json.loads((demo / "summary.json").read_text(encoding="utf-8"))
    parts = made["accepted_g"] + made["held_g"] + made["refused_g"] + made["removed_g"]
    assert abs(parts - made["received_g"]) < 0.1
    assert sum(b["shred_g"]["mean"] for b in made["bins"]) == pytest.approx(made["shred_g"]["mean"], abs=0.1)


def test_the_demo_shows_every_verdict_and_a_charge_that_is_almost_reached(demo: Path) -> None:
    made = json.loads((demo / "summary.json").read_text(encoding="utf-8"))
    assert min(made["verdicts"].values()) >= 4
    (charge,) = made["charges"]
    assert 0.85 < charge["shred_g"]["mean"] / charge["charge_g"]["mean"] < 1.0
    assert charge["probability_met"] < 0.5


@pytest.mark.parametrize(
    ("item", "verdict", "says"),
    [
        ("a13", "refuse", "PET"),  # a jar whose lid looks like PE-HD
        ("a18", "refuse", "harmful gas"),  # a PVC blister
        ("a20", "hold", "wash it twice"),  # cooking oil
        ("a21", "refuse", "motor oil"),
        ("a37", "refuse", "dangerous"),
        ("a44", "hold", "does not agree"),  # the mark says PP, the water says denser
        ("a25", "hold", "crates"),
    ],
)
def test_the_surprises_of_the_demo(demo: Path, item: str, verdict: str, says: str) -> None:
    row = next(r for r in rows_of(demo / "items.csv") if r["item"] == item)
    assert row["verdict"] == verdict
    assert says in row["reasons"]


def test_every_reason_in_the_files_is_a_sentence(demo: Path) -> None:
    for row in rows_of(demo / "items.csv"):
        assert "reason." not in row["reasons"], row
        assert "{" not in row["reasons"], row


def test_the_tags_are_read_by_two_decoders_as_plain_text(demo: Path, tmp_path: Path) -> None:
    bins = [b["bin"] for b in rows_of(demo / "bins.csv")]
    subprocess.run(["pdftoppm", "-r", "203", "-png", demo / "labels.pdf", tmp_path / "tag"], check=True)
    pages = sorted(tmp_path.glob("tag*.png"))
    assert len(pages) == len(bins)
    for page, bin_id in zip(pages, bins, strict=True):
        image = Image.open(page)
        (zxing,) = [c.text for c in zxingcpp.read_barcodes(image)]
        (zbar,) = [c.data.decode("ascii") for c in pyzbar.decode(image)]
        assert zxing == zbar
        assert zxing.startswith(f"Bin {bin_id}: PE-HD")


def test_the_ledger_of_the_demo_verifies(demo: Path, capsys: pytest.CaptureFixture[str]) -> None:
    main(["verify", str(demo / "ledger")])
    assert "Nothing is wrong" in capsys.readouterr().out


def test_a_second_run_into_the_same_folder_is_refused(demo: Path, capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as stopped:
        main(["demo", "--out", str(demo)])
    assert stopped.value.code == 2
    assert str(demo / "ledger") in capsys.readouterr().err


@pytest.mark.parametrize(
    ("sheet", "says"),
    [
        ("item,count\na,1\n", "a column named 'kind'"),
        ("kind,gross,weighed\njug,12 parsec,prepared\n", "row 2, column gross: cannot use '12 parsec'"),
        ("kind,gross,weighed\njug,-3 g,prepared\n", "row 2, column gross: cannot use '-3 g'"),
        ("kind,gross,weighed\njug,2000 kg,prepared\n", "row 2, column gross: cannot use '2000 kg'"),
    ],
)
def test_bad_input_is_a_sentence_and_exit_2(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], sheet: str, says: str
) -> None:
    from intake.handbook.locate import resources

    (tmp_path / "bag.csv").write_text(sheet, encoding="utf-8")
    campaign = resources() / "demo" / "campaign.toml"
    with pytest.raises(SystemExit) as stopped:
        main(["sort", str(tmp_path / "bag.csv"), "--campaign", str(campaign), "--out", str(tmp_path / "out")])
    assert stopped.value.code == 2
    said = capsys.readouterr()
    assert says in said.err
    assert "Traceback" not in said.err
    assert not (tmp_path / "out").exists()


def test_a_campaign_without_a_cavity_is_told(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "bag.csv").write_text("kind\njug\n", encoding="utf-8")
    (tmp_path / "c.toml").write_text('name="x"\n[[charge]]\nid="a"\nresin="PE-HD"\n', encoding="utf-8")
    with pytest.raises(SystemExit) as stopped:
        main(
            [
                "sort",
                str(tmp_path / "bag.csv"),
                "--campaign",
                str(tmp_path / "c.toml"),
                "--out",
                str(tmp_path / "o"),
            ]
        )
    assert stopped.value.code == 2
    assert "c.toml, charge 1 cavity" in capsys.readouterr().err


def test_a_folder_that_cannot_be_written_is_a_sentence(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "out").write_text("a file stands where the folder should be", encoding="utf-8")
    with pytest.raises(SystemExit) as stopped:
        main(["demo", "--out", str(tmp_path / "out")])
    assert stopped.value.code in (1, 2)
    assert "Traceback" not in capsys.readouterr().err


def test_the_same_sheet_into_a_ledger_adds_nothing(
    demo: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    from intake.handbook.locate import resources

    shutil.copytree(demo / "ledger", tmp_path / "ledger")
    before = (tmp_path / "ledger" / "journal").read_bytes()
    folder = resources() / "demo"
    main(
        ["sort", str(folder / "sheet.csv"), "--campaign", str(folder / "campaign.toml"),
         "--out", str(tmp_path / "o"), "--ledger", str(tmp_path / "ledger")]
    )  # fmt: skip
    assert "60 rows were in the ledger already" in capsys.readouterr().out
    assert (tmp_path / "ledger" / "journal").read_bytes() == before


def test_help_names_every_command(capsys: pytest.CaptureFixture[str]) -> None:
    from intake.cli import COMMANDS

    main(["--help"])
    said = capsys.readouterr().out
    assert all(name in said for name in COMMANDS)
