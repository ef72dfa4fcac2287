"""`intake cautions` and the titles of sources."""

import json
from pathlib import Path

import jsonschema  # type: ignore[import-untyped]
import pytest

from intake.cli import main
from intake.handbook import Handbook
from intake.table.compat.cautions import Act

SCHEMA = json.loads(
    (Path(__file__).resolve().parents[2] / "shared" / "cautions.schema.json").read_text(encoding="utf-8")
)
BOOK = Handbook()


def said(capsys: pytest.CaptureFixture[str], *args: str) -> str:
    main(["cautions", *args])
    return capsys.readouterr().out


@pytest.mark.parametrize(
    "args", [(), ("--stop",), *((a.value,) for a in Act), ("heat", "--resin", "PVC")], ids=str
)
def test_the_document_keeps_to_its_schema(capsys: pytest.CaptureFixture[str], args: tuple[str, ...]) -> None:
    jsonschema.validate(json.loads(said(capsys, *args, "--json")), SCHEMA)


@pytest.mark.parametrize("act", [a.value for a in Act])
def test_an_act_lists_all_its_cautions_the_strongest_first(
    capsys: pytest.CaptureFixture[str], act: str
) -> None:
    rows = json.loads(said(capsys, act, "--json"))["cautions"]
    assert {r["id"] for r in rows} == {c.id for c in BOOK.cautions.rows.values() if act in c.acts}
    order = ["forbid", "required", "advice", "info"]
    assert [order.index(r["level"]) for r in rows] == sorted(order.index(r["level"]) for r in rows)


def test_without_an_act_every_caution_is_listed(capsys: pytest.CaptureFixture[str]) -> None:
    assert len(json.loads(said(capsys, "--json"))["cautions"]) == len(BOOK.cautions.rows)


@pytest.mark.parametrize(
    ("resin", "has", "not_"),
    [("PVC", "pvc-heat", "styrenics"), ("PS", "styrenics", "pvc-heat"), ("PP", "ventilate", "pom-heat")],
)
def test_a_resin_narrows_the_list(
    capsys: pytest.CaptureFixture[str], resin: str, has: str, not_: str
) -> None:
    ids = {r["id"] for r in json.loads(said(capsys, "heat", "--resin", resin, "--json"))["cautions"]}
    assert has in ids
    assert not_ not in ids


@pytest.mark.parametrize(
    "wanted",
    [
        "Never: Never heat PVC",
        "PVC-DEG: ",
        "Basis: common practice, no source",
        "Basis: read in the work named",
    ],
)
def test_a_person_reads_what_and_from_where(capsys: pytest.CaptureFixture[str], wanted: str) -> None:
    assert wanted in " ".join(said(capsys, "heat").split())


@pytest.mark.parametrize(
    ("args", "wanted"),
    [
        (("juggle",), "ACT"),
        (("haet",), "heat"),
        (("heat", "--resin", "PQ"), "--resin"),
        (("heat", "--stop"), "no act"),
    ],
)
def test_bad_input_is_one_sentence_and_exit_2(
    capsys: pytest.CaptureFixture[str], args: tuple[str, ...], wanted: str
) -> None:
    with pytest.raises(SystemExit) as stopped:
        main(["cautions", *args])
    out, err = capsys.readouterr()
    assert (stopped.value.code, out) == (2, "")
    assert wanted in err


def test_a_check_names_its_sources_with_their_titles(capsys: pytest.CaptureFixture[str]) -> None:
    main(["check", "PE-HD", "PET"])
    text = " ".join(capsys.readouterr().out.split())
    main(["check", "PE-HD", "PET", "--json"])
    keys = json.loads(capsys.readouterr().out)["sources"]
    assert keys
    assert all(f"{key}: {BOOK.sources[key].title[:20]}" in text for key in keys)


@pytest.mark.parametrize(
    ("key", "cited"),
    [
        ("S-PMC", "(2009)"),
        ("SAFE-MEM", "(from memory)"),
        ("S05", "S05: Polymer Heats of Fusion, Thermal Applications Note TN048"),
        ("C01", "(common-practice)"),
    ],
)
def test_a_work_is_cited_with_title_year_and_how_it_is_known(key: str, cited: str) -> None:
    assert cited in BOOK.sources[key].cited


def test_every_work_has_a_title() -> None:
    assert len(BOOK.sources) > 200
    assert all(w.title and w.key == k for k, w in BOOK.sources.items())
