"""A damaged export, a folder that cannot be written, no ledger: a sentence, exit code 2, and nothing changed."""

import json
import os
import re
import shutil
from pathlib import Path

import openpyxl
import pytest

from intake.cli import main
from intake.desk.exchange import Format


@pytest.fixture
def run(capsys):
    """Run a command; gives its exit code and what it said on stderr."""

    def call(*words):
        code = 0
        try:
            main([str(w) for w in words])
        except SystemExit as stop:
            code = int(stop.code or 0)
        return code, capsys.readouterr().err

    return call


@pytest.fixture
def copy(exports, tmp_path):
    """A copy of an export that may be damaged."""

    def make(form=Format.CSV) -> Path:
        return Path(shutil.copytree(exports[form], tmp_path / "export"))

    return make


def _cut(path: Path, old: bytes, new: bytes) -> None:
    content = path.read_bytes()
    assert old in content
    path.write_bytes(content.replace(old, new, 1))


def _described(folder: Path, change) -> None:
    path = folder / "datapackage.json"
    content = json.loads(path.read_text(encoding="utf-8"))
    change(content)
    path.write_text(json.dumps(content), encoding="utf-8")


def _resource(content, name):
    return next(r for r in content["resources"] if r["name"] == name)


def _other_type(content) -> None:
    _resource(content, "items")["schema"]["fields"][3]["type"] = "string"


DAMAGE = {
    "a table is missing": (lambda f: (f / "bins.csv").unlink(), "bins.csv"),
    "the events are missing": (lambda f: (f / "events.jsonl").unlink(), "events.jsonl"),
    "the descriptor is missing": (lambda f: (f / "datapackage.json").unlink(), "datapackage.json"),
    "a column has another name": (lambda f: _cut(f / "items.csv", b",count,", b",cuont,"), "column name count"),
    "a column is missing": (lambda f: _cut(f / "bins.csv", b",labels,", b","), "12 cells|13 cells|11 cells"),
    "a number is no number": (lambda f: _cut(f / "bins.csv", b",60.0,", b",many,"), "row 2, column capacity_l"),
    "a value was changed": (lambda f: _cut(f / "bins.csv", b",60.0,", b",80.0,"), "60.0, as the events say"),
    "a row is missing": (
        lambda f: (f / "prep.csv").write_bytes((f / "prep.csv").read_bytes().split(b"\n")[0] + b"\n"),
        "1 rows, as the events say"),
    "it is not UTF-8": (lambda f: _cut(f / "items.csv", b"\xc3", b"\xff"), "UTF-8"),
    "an event was changed": (lambda f: _cut(f / "events.jsonl", b'"Spring"', b'"Autumn"'), "events.jsonl"),
    "the last event is gone": (lambda f: (f / "events.jsonl").write_bytes(
        (f / "events.jsonl").read_bytes().rsplit(b"\n", 2)[0] + b"\n"), "events.jsonl"),
    "the descriptor is no JSON": (lambda f: (f / "datapackage.json").write_bytes(b"{"), "JSON"),
    "it is nested without end": (lambda f: (f / "datapackage.json").write_bytes(b"[" * 100_000), "JSON"),
    "it is another package": (lambda f: (f / "datapackage.json").write_text('{"resources": []}'), "intake export"),
    "it is a newer version": (lambda f: _described(f, lambda d: d["intake"].update(export=9)), "version 9"),
    "the schema names another type": (lambda f: _described(f, _other_type), "integer"),
    "a resource is not described": (lambda f: _described(f, lambda d: d["resources"].pop(1)), "resource 'bins'"),
    "a path leads elsewhere": (
        lambda f: _described(f, lambda d: _resource(d, "bins").update(path="../../bins.csv")), "bins.csv"),
}  # fmt: skip


@pytest.mark.parametrize("name", DAMAGE)
def test_a_damaged_export_is_told_and_nothing_is_made(name, copy, run, tmp_path) -> None:
    folder = copy()
    damage, told = DAMAGE[name]
    damage(folder)
    code, said = run("import", folder, "--ledger", tmp_path / "made")
    assert code == 2, said
    assert re.search(told, said), said
    assert "Traceback" not in said
    assert not (tmp_path / "made").exists()
    assert not [p for p in tmp_path.iterdir() if p.name.startswith(".")]


def test_several_wrong_cells_are_told_at_once(copy, run, tmp_path) -> None:
    folder = copy()
    _cut(folder / "bins.csv", b",60.0,", b",61.0,")
    _cut(folder / "lots.csv", b",60.0,", b",59.0,")
    _, said = run("import", folder, "--ledger", tmp_path / "made")
    assert "bins.csv, row 2, column capacity_l" in said
    assert "lots.csv, row 2, column mass_g" in said
    assert said.count("Nothing was saved") == 1


def test_a_table_that_a_spreadsheet_wrote_again_is_still_good(copy, run, tmp_path) -> None:
    folder = copy()
    path = folder / "items.csv"
    path.write_bytes(b"\xef\xbb\xbf" + path.read_bytes().replace(b",141.0,", b",141,"))
    code, said = run("import", folder, "--ledger", tmp_path / "made")
    assert (code, said) == (0, "")


@pytest.mark.parametrize(
    ("change", "told"),
    [
        (lambda b: b["bins"].cell(2, 1, "QT-99"), "sheet bins, row 2, column bin"),
        (lambda b: b["bins"].cell(1, 1, "bim"), "column name bin"),
        (lambda b: b["items"].cell(2, 4, "two"), "a whole number"),
        (lambda b: b.remove(b["lots"]), "sheet named 'lots'"),
    ],
)
def test_a_damaged_workbook_is_told(change, told, copy, run, tmp_path) -> None:
    folder = copy(Format.XLSX)
    book = openpyxl.load_workbook(folder / "tables.xlsx")
    change(book)
    book.save(folder / "tables.xlsx")
    code, said = run("import", folder, "--ledger", tmp_path / "made")
    assert (code, told in said) == (2, True), said


@pytest.mark.parametrize("content", [b"", b"PK\x03\x04", b"not a workbook"])
def test_what_is_no_workbook_is_told(content, copy, run, tmp_path) -> None:
    folder = copy(Format.XLSX)
    (folder / "tables.xlsx").write_bytes(content)
    code, said = run("import", folder, "--ledger", tmp_path / "made")
    assert (code, "a workbook" in said) == (2, True), said


def test_a_text_longer_than_a_cell_is_told_before_anything_is_written(run, tmp_path) -> None:
    from ledger_story import create, received

    with create(tmp_path / "ledger") as ledger:
        ledger.append([received("a1", note="n" * 40_000)])
    code, said = run("export", "--ledger", tmp_path / "ledger", "--out", tmp_path / "out", "--format", "xlsx")
    assert (code, "csv or json" in said) == (2, True), said
    assert not (tmp_path / "out").exists()


def test_no_ledger_is_told(run, tmp_path) -> None:
    code, said = run("export", "--ledger", tmp_path / "none", "--out", tmp_path / "out")
    assert (code, "a folder that holds a ledger" in said) == (2, True)
    assert not (tmp_path / "out").exists()


def test_a_folder_with_something_else_in_it_is_left_alone(run, full_ledger, tmp_path) -> None:
    (tmp_path / "out").mkdir()
    (tmp_path / "out" / "thesis.txt").write_text("mine")
    code, said = run("export", "--ledger", full_ledger, "--out", tmp_path / "out")
    assert (code, "thesis.txt" in said) == (2, True)
    assert [p.name for p in (tmp_path / "out").iterdir()] == ["thesis.txt"]


@pytest.mark.parametrize("place", ["file", "under a file"])
def test_a_place_that_cannot_be_a_folder_is_told(place, run, full_ledger, tmp_path) -> None:
    (tmp_path / "file").write_text("x")
    out = tmp_path / "file" / ("deeper" if place == "under a file" else "")
    code, said = run("export", "--ledger", full_ledger, "--out", out)
    assert (code, "can be written" in said) == (2, True), said
    assert (tmp_path / "file").read_text() == "x"


def test_a_disk_that_refuses_leaves_the_earlier_export(
    run, exports, full_ledger, tmp_path, monkeypatch
) -> None:
    shutil.copytree(exports[Format.CSV], tmp_path / "out")
    before = (tmp_path / "out" / "items.csv").read_bytes()

    def full(_fd: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    code, said = run("export", "--ledger", full_ledger, "--out", tmp_path / "out", "--format", "json")
    assert (code, "No space left" in said) == (2, True), said
    assert (tmp_path / "out" / "items.csv").read_bytes() == before
    assert sorted(p.name for p in tmp_path.iterdir()) == ["out"]


def test_the_folder_one_stands_in_is_not_swapped(run, full_ledger, tmp_path, monkeypatch) -> None:
    (tmp_path / "here").mkdir()
    monkeypatch.chdir(tmp_path / "here")
    code, said = run("export", "--ledger", full_ledger, "--out", ".")
    assert (code, "beside the one you stand in" in said) == (2, True), said
