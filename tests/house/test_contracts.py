"""What crosses a door is what `shared/` says: real output is validated, generated schemas are up to date."""

import csv
import json
import tomllib
from pathlib import Path
from typing import Any

import jsonschema
import pytest

from intake.desk.schemas import campaign_schema, sheet_schema
from intake.handbook.locate import resources

SHARED = Path(__file__).resolve().parents[2] / "shared"


def _schema(name: str) -> dict[str, Any]:
    return json.loads((SHARED / f"{name}.schema.json").read_text(encoding="utf-8"))


def _validator(name: str) -> jsonschema.Draft202012Validator:
    return jsonschema.Draft202012Validator(_schema(name))


@pytest.mark.parametrize("path", sorted(SHARED.glob("*.json")), ids=lambda p: p.name)
def test_a_schema_is_a_schema(path: Path) -> None:
    jsonschema.Draft202012Validator.check_schema(json.loads(path.read_text(encoding="utf-8")))


def test_the_generated_schemas_are_those_of_the_code() -> None:
    assert _schema("campaign") == json.loads(json.dumps(campaign_schema()))
    assert _schema("intake-sheet") == json.loads(json.dumps(sheet_schema()))


def test_the_demo_campaign_and_sheet_fit_their_schemas() -> None:
    demo = resources() / "demo"
    _validator("campaign").validate(tomllib.loads((demo / "campaign.toml").read_text(encoding="utf-8")))
    check = _validator("intake-sheet")
    with (demo / "sheet.csv").open(encoding="utf-8", newline="") as stream:
        for row in csv.DictReader(stream):
            check.validate(row)


@pytest.mark.parametrize(
    ("column", "value"), [("label", "golden"), ("weighed", "wet"), ("closure", "lost"), ("colr", "blue")]
)
def test_the_sheet_schema_refuses_what_the_reader_refuses(column: str, value: str) -> None:
    assert not _validator("intake-sheet").is_valid({"kind": "jug", column: value})
