"""Exports against the world: a data-package validator and a second spreadsheet reader, both from the registry."""

import csv
import json
import shutil
from pathlib import Path

import frictionless
import pytest
from ledger_story import EVERY_KIND, create
from python_calamine import CalamineWorkbook

from intake.desk.exchange import Format, export
from intake.desk.exchange.columns import TABLES, table_schema

SHARED = Path(__file__).resolve().parents[2] / "shared" / "export"


@pytest.fixture(scope="module")
def exported(tmp_path_factory: pytest.TempPathFactory, handbook) -> dict[Format, Path]:
    base = tmp_path_factory.mktemp("exchange")
    with create(base / "ledger") as ledger:
        for body in EVERY_KIND:
            ledger.append([body])
    for form in Format:
        export(base / "ledger", base / form, handbook, form)
    return {form: base / form for form in Format}


def _without_sizes(folder: Path) -> None:
    descriptor = folder / "datapackage.json"
    about = json.loads(descriptor.read_text(encoding="utf-8"))
    for resource in about["resources"]:
        del resource["hash"], resource["bytes"]
    descriptor.write_text(json.dumps(about), encoding="utf-8")


@pytest.mark.parametrize("form", [Format.CSV, Format.JSON], ids=lambda f: f"frictionless 5, {f}")
def test_a_package_is_valid_with_types_keys_and_references(form, exported, tmp_path) -> None:
    folder = Path(shutil.copytree(exported[form], tmp_path / "package"))
    if form is Format.JSON:
        _without_sizes(folder)  # this validator counts no bytes of JSON tables and then misses them
    report = frictionless.validate(str(folder / "datapackage.json"), type="package")
    assert report.flatten(["taskName", "rowNumber", "fieldName", "note"]) == []
    assert report.valid
    assert {task.name for task in report.tasks} == {t.name for t in TABLES} | {"events"}


@pytest.mark.parametrize(
    ("table", "old", "new"),
    [("bins", ",60.0,", ",many,"), ("prep", ",a1,", ",nobody,"), ("items", "a2,", "a1,")],
    ids=["a wrong type", "a reference to nothing", "a key that stands twice"],
)
def test_the_validator_sees_what_is_wrong(table, old, new, exported, tmp_path) -> None:
    # the check above could not fail otherwise
    folder = Path(shutil.copytree(exported[Format.CSV], tmp_path / "bad"))
    path = folder / f"{table}.csv"
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new, 1), encoding="utf-8", newline="")
    _without_sizes(folder)
    assert not frictionless.validate(str(folder / "datapackage.json"), type="package").valid


@pytest.mark.parametrize("table", TABLES, ids=lambda t: t.name)
def test_a_table_schema_is_valid_and_is_the_one_in_shared(table) -> None:
    shared = json.loads((SHARED / f"{table.name}.tableschema.json").read_text(encoding="utf-8"))
    assert shared == table_schema(table)
    report = frictionless.Schema.validate_descriptor(shared)
    assert report.valid, report


@pytest.mark.parametrize("table", TABLES, ids=lambda t: f"calamine, {t.name}")
def test_a_second_reader_reads_from_the_workbook_what_stands_in_the_csv(table, exported) -> None:
    sheet = CalamineWorkbook.from_path(str(exported[Format.XLSX] / "tables.xlsx")).get_sheet_by_name(
        table.name
    )
    header, *rows = sheet.to_python()
    with (exported[Format.CSV] / f"{table.name}.csv").open(encoding="utf-8", newline="") as stream:
        names, *lines = list(csv.reader(stream))
    assert header == names
    assert len(rows) == len(lines)
    for row, line in zip(rows, lines, strict=True):
        for column, cell, text in zip(table.columns, row, line, strict=True):
            if column.type in ("number", "integer"):
                assert (cell if cell != "" else None) == (float(text) if text else None)
            elif column.type == "boolean":
                assert str(cell).lower() == text
            else:
                assert cell == text


def test_no_cell_of_a_workbook_is_a_formula(tmp_path, handbook) -> None:
    import openpyxl
    from ledger_story import received

    with create(tmp_path / "ledger") as ledger:
        ledger.append([received("=1+1", note="=HYPERLINK(1)")])
    export(tmp_path / "ledger", tmp_path / "out", handbook, Format.XLSX)
    book = openpyxl.load_workbook(tmp_path / "out" / "tables.xlsx")
    assert not [c for sheet in book for row in sheet for c in row if c.data_type == "f"]
    read = (
        CalamineWorkbook.from_path(str(tmp_path / "out" / "tables.xlsx"))
        .get_sheet_by_name("items")
        .to_python()
    )
    assert read[1][0] == "=1+1"
