"""An intake sheet is read whole, and every fault says file, row, column, value and what would be right."""

from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from intake.desk.sheet import Sheet, read_sheet
from intake.desk.sheet_columns import COLUMNS
from intake.errors import BadInput
from intake.handbook import Handbook
from intake.table.identify.evidence import Cue, Density, FloatTest, Mark, Outcome
from intake.table.item import Closure, Label, LabelOff, Weighing


def _sheet(tmp_path: Path, handbook: Handbook, text: str | bytes) -> Sheet:
    path = tmp_path / "bag.csv"
    path.write_bytes(text if isinstance(text, bytes) else text.encode())
    return read_sheet(path, handbook, scale_g=1.0)


HEAD = "item,kind,count,mark,tests,density,colour,gross,tare,weighed"


@pytest.mark.parametrize("delimiter", [",", ";"])
@pytest.mark.parametrize("bom", [b"", b"\xef\xbb\xbf"])
@pytest.mark.parametrize("newline", ["\n", "\r\n"])
def test_comma_semicolon_bom_and_either_line_end(
    tmp_path: Path, handbook: Handbook, delimiter: str, bom: bytes, newline: str
) -> None:
    lines = ["item,kind,count,mark", "a1,Milk Bottle,12,2 HDPE", "", "a2,bottle cap,,5"]
    text = newline.join(lines).replace(",", delimiter)
    sheet = _sheet(tmp_path, handbook, bom + text.encode())
    assert [(r.id, r.number, r.item.kind.id, r.item.count) for r in sheet.rows] == [
        ("a1", 2, "milk-bottle-2l", 12),
        ("a2", 4, "bottle-cap", 1),
    ]
    assert sheet.rows[0].evidence == (Mark(text="2 HDPE"),)


def test_a_full_row(tmp_path: Path, handbook: Handbook) -> None:
    text = (
        "item,kind,count,mark,tests,density,colour,label,label_removed,closure,gross,tare,weighed\n"
        'a1,jug,6,2,"float:water=floats; float:0.93=sinks; transparency=Translucent","0,955±0,004",'
        "natural,Paper,partly,on,1.2 lb,10 g,As received\n"
    )
    row = _sheet(tmp_path, handbook, text).rows[0]
    assert row.evidence == (
        Mark(text="2"),
        FloatTest(bath="water", bath_g_cm3=pytest.approx(0.998, abs=0.001), outcome=Outcome.FLOATS),
        FloatTest(bath="0.93", bath_g_cm3=0.93, outcome=Outcome.SINKS),
        Cue(name="transparency", value="translucent"),
        Density(density_g_cm3=0.955, sd_g_cm3=0.004),
    )
    assert row.item.gross_g == pytest.approx(1.2 * 453.59237)
    assert (row.item.label, row.item.label_off, row.item.closure) == (
        Label.PAPER,
        LabelOff.PARTLY,
        Closure.ON,
    )
    assert row.item.weighed is Weighing.AS_RECEIVED


def test_what_nobody_wrote_is_what_is_usual(tmp_path: Path, handbook: Handbook) -> None:
    row = _sheet(tmp_path, handbook, "kind\njug\n").rows[0]
    assert (row.id, row.item.count, row.item.closure, row.item.label) == ("row-2", 1, Closure.ON, Label.PAPER)
    assert row.item.gross_g is None


def test_a_kind_nobody_knows_is_other(tmp_path: Path, handbook: Handbook) -> None:
    assert _sheet(tmp_path, handbook, "kind\ngarden gnome\n").rows[0].item.kind.id == "other"


@pytest.mark.parametrize(
    ("row", "column", "expected"),
    [
        ("a1,,1,,,,,,,", "kind", "a kind such as jug"),
        ("a1,jug,0,,,,,,,", "count", "a whole number from 1"),
        ("a1,jug,2.5,,,,,,,", "count", "a whole number from 1"),
        ("a1,jug,-1,,,,,,,", "count", "a whole number from 1"),
        ("a1,jug,1e9,,,,,,,", "count", "a whole number from 1"),
        ("a1,jug,1,,float:water,,,,,", "tests", "name=result"),
        ("a1,jug,1,,float:water=flies,,,,,", "tests", "floats, sinks or hovers"),
        ("a1,jug,1,,float:9.9=floats,,,,,", "tests", "a bath density from 0.7 to 2"),
        ("a1,jug,1,,crese=no_mark,,,,,", "tests", "crease"),
        ("a1,jug,1,,crease=purple,,,,,", "tests", "crease= one of no_mark"),
        ("a1,jug,1,,,55,,,,", "density", "a density from 0.005 to 3"),
        ("a1,jug,1,,,0.95±x,,,,", "density", "a density from 0.005 to 3"),
        ("a1,jug,1,,,,,-3 g,,prepared", "gross", "a mass above 0 g"),
        ("a1,jug,1,,,,,nan,,prepared", "gross", "a mass above 0 g"),
        ("a1,jug,1,,,,,12 parsec,,prepared", "gross", "a mass above 0 g"),
        ("a1,jug,1,,,,,5000 kg,,prepared", "gross", "a mass above 0 g"),
        ("a1,jug,1,,,,,12 g,,", "weighed", "as-received or prepared"),
        ("a1,jug,1,,,,,12 g,,wet", "weighed", "one of as-received, prepared"),
        ("a1,jug,1,,,,,12 g,12 g,prepared", "tare", "less than the gross mass"),
    ],
)
def test_a_bad_cell_is_a_sentence(
    tmp_path: Path, handbook: Handbook, row: str, column: str, expected: str
) -> None:
    sheet = _sheet(tmp_path, handbook, f"{HEAD}\na0,jug,1,,,,,,,\n{row}\n")
    assert [r.id for r in sheet.rows] == ["a0"]
    (bad,) = sheet.bad
    assert any(
        f.where == f"Sheet bag.csv, row 3, column {column}" and expected in f.expected for f in bad.findings
    ), bad.findings


def test_all_faults_of_a_row_are_told_at_once(tmp_path: Path, handbook: Handbook) -> None:
    sheet = _sheet(tmp_path, handbook, f"{HEAD}\na1,,x,,,99,,-1,,\n")
    assert {f.where.rsplit(" ", 1)[-1] for f in sheet.bad[0].findings} >= {
        "kind",
        "count",
        "density",
        "gross",
    }


@pytest.mark.parametrize(
    ("text", "fault"),
    [
        (b"item,count\na1,2\n", "a column named 'kind'"),
        (b"item,kind,knid\n", "kind"),
        (b"kind,kind\njug,jug\n", "each column once"),
        (b"", "a column named 'kind'"),
        (b"kind\n", "at least one row"),
        (b"kind\nj\xffg\n", "text in UTF-8"),
        (b"\x00\x01\x02", "kind"),
    ],
)
def test_a_sheet_that_is_none_is_a_sentence(
    tmp_path: Path, handbook: Handbook, text: bytes, fault: str
) -> None:
    with pytest.raises(BadInput, match=r"Sheet bag\.csv") as caught:
        _sheet(tmp_path, handbook, text)
    assert fault in str(caught.value)


def test_a_missing_file_is_a_sentence(tmp_path: Path, handbook: Handbook) -> None:
    with pytest.raises(BadInput, match=r"Intake sheet: cannot use 'none\.csv'"):
        read_sheet(tmp_path / "none.csv", handbook, scale_g=1.0)


def test_an_id_stands_once_and_a_parent_above(tmp_path: Path, handbook: Handbook) -> None:
    text = "item,kind,parent\na1,jug,\na1,jug,\na2,cap,a9\na3,cap,a1\n"
    sheet = _sheet(tmp_path, handbook, text)
    assert [r.id for r in sheet.rows] == ["a1", "a3"]
    assert [b.findings[0].expected for b in sheet.bad] == [
        "an id that no other row has",
        "the id of a good row further up",
    ]


def test_cells_beyond_the_header_are_told(tmp_path: Path, handbook: Handbook) -> None:
    sheet = _sheet(tmp_path, handbook, "kind,note\njug,one, two\n")
    assert "put quotes" in sheet.bad[0].findings[0].expected


def test_the_same_content_has_the_same_digest(tmp_path: Path, handbook: Handbook) -> None:
    first = _sheet(tmp_path, handbook, "kind\njug\n")
    assert first.digest == _sheet(tmp_path, handbook, "kind\njug\n").digest
    assert first.digest != _sheet(tmp_path, handbook, "kind\ntub\n").digest


@settings(max_examples=150, suppress_health_check=[HealthCheck.function_scoped_fixture], deadline=None)
@given(cells=st.lists(st.text(max_size=12), min_size=10, max_size=10))
def test_no_text_breaks_the_reader(tmp_path: Path, handbook: Handbook, cells: list[str]) -> None:
    quoted = ",".join('"' + c.replace('"', '""').encode("utf-8", "ignore").decode() + '"' for c in cells)
    try:
        sheet = _sheet(tmp_path, handbook, f"{HEAD}\n{quoted}\n")
    except BadInput:
        return
    assert len(sheet.rows) + len(sheet.bad) == 1


def test_the_documented_columns_are_all_there() -> None:
    names = {c.name for c in COLUMNS}
    assert names >= {"item", "kind", "count", "mark", "tests", "density", "colour", "label", "label_removed"}
    assert names >= {
        "adhesive",
        "closure",
        "residue",
        "gross",
        "tare",
        "weighed",
        "parent",
        "minutes",
        "note",
    }
    assert len(COLUMNS) == 18
