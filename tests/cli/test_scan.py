"""`intake scan`: what it says of our labels, of damaged, foreign and newer ones, and of spoilt pictures."""

import json
from pathlib import Path

import jsonschema
import pytest
import qrcode
from labels_table import table
from made_lots import lot
from PIL import Image
from spoilt_pictures import SPOILT

from intake.cli import main
from intake.desk.scan import read_text
from intake.drawing.symbol import encode, paint
from intake.table.labels.payload import Found, LabelKind, Payload, check

SCHEMA = json.loads((Path(__file__).parents[2] / "shared" / "scan.schema.json").read_text(encoding="utf-8"))
OURS = Payload(kind=LabelKind.TAG, ids=("QT-02",), line="Bin QT-02: PE-HD (2), black, blow").text
ELSEWHERE = Payload(kind=LabelKind.TAG, ids=("HB-02",), line="Bin HB-02: PP (5), blue, film").text
NEWER = "Bin QT-02: PE-HD\nRI7T QT-02 something new"
DAMAGED = OURS[:-4] + "0000"
FOREIGN = "WIFI:T:WPA;S:harbour;P:secret;;"


@pytest.fixture
def run(capsys):
    def _run(*args):
        try:
            main(["scan", *map(str, args)])
            code = 0
        except SystemExit as stop:
            code = int(stop.code or 0)
        said = capsys.readouterr()
        return code, " ".join(said.out.split()), said.err

    return _run


def picture(path, *texts) -> Path:
    page = Image.new("L", (320 * max(1, len(texts)), 320), 255)
    for n, text in enumerate(texts):
        if len(text.encode()) <= 74:
            symbol = paint(encode(text), 300).convert("L")
        else:
            symbol = qrcode.make(text, box_size=4).convert("L")
        page.paste(symbol, (320 * n + 10, 10))
    page.save(path)
    return path


@pytest.fixture
def ledger(tmp_path, handbook):
    return table(tmp_path / "ledger", handbook, 5)


@pytest.mark.parametrize(
    ("text", "known", "code", "found", "reason", "said"),
    [
        (OURS, False, 0, "ours", None, "Tag. Bin QT-02: PE-HD (2), black, blow."),
        (OURS, True, 0, "ours", None, "This table knows bin QT-02; items in it: 0."),
        (lot(bin_id="QT-02").payload.text, False, 0, "ours", None, "Label. Lot QT-L07: PE-HD (2), 1.24 kg"),
        (lot(bin_id="QT-02").payload.text, True, 1, "ours", "scan_other_table", "QT-L07 is not known"),
        (ELSEWHERE, False, 0, "ours", None, "Bin HB-02"),
        (ELSEWHERE, True, 1, "ours", "scan_other_table", "HB-02 is not known at this table"),
        (NEWER, True, 1, "newer", "scan_newer", "a newer version (7)"),
        (DAMAGED, True, 1, "damaged", "scan_damaged", "did not read cleanly"),
        (FOREIGN, True, 1, "foreign", "scan_foreign", "This code is not one of our labels."),
        ("https://example.org/" + "x" * 80, False, 1, "foreign", "scan_foreign", "not one of our labels"),
    ],
)
def test_each_label_is_told_for_what_it_is(
    run, tmp_path, ledger, text, known, code, found, reason, said
) -> None:
    path = picture(tmp_path / "photo.png", text)
    more = ("--ledger", ledger) if known else ()
    assert run(path, *more)[0] == code
    assert said in run(path, *more)[1]
    document = json.loads(run(path, *more, "--json")[1])
    jsonschema.validate(document, SCHEMA)
    label = document["labels"][0]
    assert (label["found"], label["reason"], label["opens"]) == (found, reason, code == 0)
    assert (label["bin"] is not None) == (known and code == 0)


def test_a_newer_label_shows_its_first_line(run, tmp_path) -> None:
    label = json.loads(run(picture(tmp_path / "p.png", NEWER), "--json")[1])["labels"][0]
    assert label["line"] == "Bin QT-02: PE-HD"


def test_a_foreign_code_is_not_repeated(run, tmp_path) -> None:
    path = picture(tmp_path / "p.png", FOREIGN)
    for args in ((path,), (path, "--json")):
        assert "secret" not in "".join(map(str, run(*args)))


def test_all_labels_of_a_picture_are_found(run, tmp_path, ledger) -> None:
    path = picture(tmp_path / "p.png", OURS, FOREIGN, ELSEWHERE, DAMAGED)
    code, out, _ = run(path, "--ledger", ledger, "--json")
    assert code == 0
    found = {(s["found"], s["opens"]) for s in json.loads(out)["labels"]}
    assert found == {("ours", True), ("foreign", False), ("ours", False), ("damaged", False)}


def test_a_symbol_beyond_reading_is_told_to_be_there(run, tmp_path) -> None:
    path = picture(tmp_path / "p.png", OURS)
    image = Image.open(path)
    image.paste(128, (110, 110, 300, 240))
    image.save(path)
    code, out, _ = run(path)
    assert code == 1
    assert "There is a code here that did not read." in out


def test_a_picture_without_a_label_says_what_to_do(run, tmp_path) -> None:
    code, out, err = run(picture(tmp_path / "p.png"))
    assert (code, err) == (1, "")
    assert "No label was found." in out
    document = json.loads(run(tmp_path / "p.png", "--json")[1])
    jsonschema.validate(document, SCHEMA)
    assert document["labels"] == []


@pytest.mark.parametrize("name", SPOILT)
def test_a_spoilt_picture_is_one_sentence(run, tmp_path, name) -> None:
    path = tmp_path / "photo.jpg"
    path.write_bytes(SPOILT[name][0])
    code, out, err = run(path)
    assert (code, out) == (2, "")
    assert err.startswith("Picture: cannot use 'photo.jpg'. Expected")
    assert err.count("\n") == 1


def test_a_folder_without_a_ledger_is_told(run, tmp_path) -> None:
    assert run(picture(tmp_path / "p.png", OURS), "--ledger", tmp_path / "none")[0] == 2


@pytest.mark.parametrize("line", ["Bin\x1b[31m red", "é" * 60, "x" * 400, ""])
def test_what_a_newer_label_says_is_cut_to_plain_letters(line: str) -> None:
    scanned = read_text(f"{line}\nRI9T QT-02 ABCD")
    assert scanned.found is Found.NEWER
    assert len(scanned.line) <= 48
    assert scanned.line.isascii()
    assert "\x1b" not in scanned.line


def test_a_check_that_disagrees_is_damage_not_a_stranger() -> None:
    body = "Bin QT-02: PP\nRI1T QT-02"
    assert read_text(f"{body} {check(body)}").found is Found.OURS
    assert read_text(f"{body}, {check(body)}").found is Found.DAMAGED
