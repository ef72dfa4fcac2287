"""`intake labels`: what it writes, what it refuses, and that it never stands in anybody's way."""

import subprocess

import pytest
from labels_table import table
from PIL import Image
from pyzbar.pyzbar import decode as zbar_decode

from intake.cli import main
from intake.desk.desk import Desk
from intake.ledger.events import BinOpened
from intake.table.kinds import Flow


@pytest.fixture
def run(capsys):
    def _run(*args):
        try:
            main(["labels", *map(str, args)])
            code = 0
        except SystemExit as stop:
            code = int(stop.code or 0)
        said = capsys.readouterr()
        return code, said.out, said.err

    return _run


@pytest.fixture
def ledger(tmp_path, handbook):
    return table(tmp_path / "ledger", handbook, 5)


def texts(path):
    return {
        r.data.decode("ascii").split("\n")[1].split()[1] for r in zbar_decode(Image.open(path).convert("L"))
    }


def pages(path) -> int:
    done = subprocess.run(["pdfinfo", str(path)], capture_output=True, check=True, text=True)
    return int(next(line.split()[1] for line in done.stdout.splitlines() if line.startswith("Pages:")))


@pytest.mark.parametrize(
    ("sheet", "start", "wanted"),
    [
        ("a4-3x8", 1, 1), ("a4-3x8", 21, 2), ("letter-3x10", 1, 1), ("roll-58", 1, 5), ("roll-80", 1, 5),
        ("single", 1, 5),
    ],
)  # fmt: skip
def test_all_bins_on_every_sheet(run, ledger, tmp_path, sheet, start, wanted) -> None:
    out = tmp_path / "labels.pdf"
    code, said, err = run("--ledger", ledger, "--sheet", sheet, "--start", start, "--out", out)
    assert (code, err) == (0, "")
    assert pages(out) == wanted
    assert f"Labels: 5. Pages: {wanted}." in said


def test_named_bins_on_a_picture_at_its_size(run, ledger, tmp_path) -> None:
    out = tmp_path / "labels.png"
    code, _, _ = run(
        "--ledger", ledger, "--bin", "qt-02", "--bin", " QT-04", "--sheet", "a4-3x8", "--start", 5, "--out", out
    )  # fmt: skip
    assert code == 0
    assert texts(out) == {"QT-02", "QT-04"}
    image = Image.open(out)
    width_mm, height_mm = (side / dpi * 25.4 for side, dpi in zip(image.size, image.info["dpi"], strict=True))
    assert (width_mm, height_mm) == pytest.approx((210.0, 297.0), abs=0.2)


def test_a_thermal_picture_is_black_and_white_only(run, ledger, tmp_path) -> None:
    out = tmp_path / "one.PNG"
    assert run("--ledger", ledger, "--bin", "QT-01", "--sheet", "roll-58", "--out", out)[0] == 0
    assert Image.open(out).mode == "1"


@pytest.mark.parametrize(
    ("args", "said"),
    [
        (("--bin", "QT-09"), "Bin: cannot use 'QT-09'. Expected QT-0"),
        (("--bin", "🧺" * 400), "Bin: cannot use"),
        (("--bin", ""), "Bin: cannot use an empty value"),
        (("--start", "2"), "Expected a label from 1 to 1"),
        (("--sheet", "a4-3x8", "--start", "0"), "Expected a label from 1 to 24"),
        (("--sheet", "a4-3x8", "--start", "25"), "Expected a label from 1 to 24"),
    ],
)
def test_what_is_not_there_is_told_and_nothing_is_written(run, ledger, tmp_path, args, said) -> None:
    code, out, err = run("--ledger", ledger, *args, "--out", tmp_path / "x.pdf")
    assert (code, out) == (2, "")
    assert said in err
    assert not list(tmp_path.glob("*x.pdf*"))


@pytest.mark.parametrize("name", ["x", "x.jpg", "x.pdf.exe"])
def test_another_ending_is_refused(run, ledger, tmp_path, name) -> None:
    code, _, err = run("--ledger", ledger, "--out", tmp_path / name)
    assert code == 2
    assert ".pdf or .png" in err
    assert not (tmp_path / name).exists()


def test_more_labels_than_one_picture_holds_are_refused(run, ledger, tmp_path) -> None:
    code, _, err = run("--ledger", ledger, "--sheet", "a4-3x8", "--start", 21, "--out", tmp_path / "x.png")
    assert code == 2
    assert "4 at most on one page" in err


def test_a_folder_without_a_ledger_is_told(run, tmp_path) -> None:
    code, _, err = run("--ledger", tmp_path, "--out", tmp_path / "x.pdf")
    assert code == 2
    assert "a folder that holds a ledger" in err


def test_a_table_without_bins_has_no_label(run, tmp_path, handbook) -> None:
    code, _, err = run("--ledger", table(tmp_path / "l", handbook, 0), "--out", tmp_path / "x.pdf")
    assert code == 1
    assert "no bin yet" in err
    assert not (tmp_path / "x.pdf").exists()


def test_a_disk_that_refuses_leaves_what_stood_there(run, ledger, tmp_path) -> None:
    (tmp_path / "x.pdf").mkdir()
    (tmp_path / "x.pdf" / "kept").write_text("old", encoding="utf-8")
    code, _, err = run("--ledger", ledger, "--out", tmp_path / "x.pdf")
    assert code == 1
    assert "What stood there before still stands." in err
    assert (tmp_path / "x.pdf" / "kept").read_text(encoding="utf-8") == "old"
    assert [p.name for p in tmp_path.iterdir() if p.name.endswith(".part")] == []


def test_labels_are_printed_while_somebody_works_at_the_table(run, ledger, tmp_path, handbook) -> None:
    before = (ledger / "journal").read_bytes()
    with Desk.open(ledger, handbook):
        assert run("--ledger", ledger, "--sheet", "a4-3x8", "--out", tmp_path / "x.pdf")[0] == 0
    assert (ledger / "journal").read_bytes() == before


def test_a_desk_that_only_reads_records_nothing(ledger, handbook) -> None:
    from intake.errors import Refusal

    with Desk.read(ledger, handbook) as desk, pytest.raises(Refusal, match="not open for writing"):
        desk.record([BinOpened(bin="QT-06", resin="PP", colour="red", flow=Flow.FILM)])


@pytest.mark.parametrize(
    ("bins", "terminal", "shown"), [(50, True, True), (50, False, False), (5, True, False)]
)
def test_many_labels_show_how_far_they_are_on_a_terminal(
    run, tmp_path, handbook, monkeypatch, bins, terminal, shown
) -> None:
    if terminal:
        monkeypatch.setenv("FORCE_COLOR", "1")
    folder = table(tmp_path / "l", handbook, bins)
    code, _, err = run("--ledger", folder, "--sheet", "roll-58", "--out", tmp_path / "x.pdf")
    assert code == 0
    assert ("Drawing labels" in err) == shown
    assert shown or err == ""
