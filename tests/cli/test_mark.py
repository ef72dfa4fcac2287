"""`intake mark`: its JSON keeps the schema, its words are whole, and its exit code tells a read mark."""

import json
from pathlib import Path

import jsonschema
import pytest

from intake.cli import main

SCHEMA = json.loads(
    (Path(__file__).parents[2] / "shared" / "mark-reading.schema.json").read_text(encoding="utf-8")
)
GOOD = [
    "2",
    "02 PEHD",
    "♴",
    "HDPE",
    "7",
    "V",
    "PAP 21",
    "C/PAP 84",
    "C/LDPE 90",
    "PP,M,PET",
    "cap: PE / bottle: PET",
    "PC/ABS",
    ">PP-TD20<",
    ">PA66-(GF25+MD15)-FR(52)<",
    ">PVC-P(DINP+DOA)<",
    ">_PE_,EVAC<",
    ">PP(REC30)<",
    ">PA6-MED(Al)10<",
    "R-PET 1",
    ">ABS-FR<",
    "9",
    "PLA 92",
    "CA",
    "12 PP",
    "1 PETG",
    ">PP-T20<",
    ">PP-GF<",
    ">abs<",
    "4 LLDPE",
    "EPS",
    "PUR",
    "ASA",
]
BAD = [
    "XYZ",
    "2 PP",
    "33",
    "150",
    "♻",
    "compostable",
    "♼",
    "プラ",
    "bio-based",
    "x" * 300,
    ">>ABS<<",
    "><",
    ">XYZ<",
    ">HDPE<",
    ">PP,<",
    ">PP-(GF25+MD15<",
    ">PP-GF00<",
    ">PP-GJ9<",
    ">PVC-P(ABC)<",
    ">ABS-FR(99)<",
    ">ABS-FR()<",
    ">FR(17)<",
    ">_PP_,_PE_<",
    ">_PP<",
    ">ABS+ABS<",
    ">PP-<",
    ">PC20<",
    ">ABS",
]


@pytest.fixture
def run(capsys):
    def _run(*args):
        try:
            main(["mark", *args])
            code = 0
        except SystemExit as stop:
            code = int(stop.code or 0)
        said = capsys.readouterr()
        return code, said.out, said.err

    return _run


@pytest.mark.parametrize("text", GOOD)
def test_a_known_mark_exits_0_and_keeps_the_schema(run, text):
    code, out, err = run(text, "--json")
    document = json.loads(out)
    jsonschema.validate(document, SCHEMA)
    assert (code, err, document["valid"]) == (0, "", True)
    assert document["text"] == text


@pytest.mark.parametrize("text", BAD)
def test_an_unknown_mark_exits_1_and_keeps_the_schema(run, text):
    code, out, err = run(text, "--json")
    document = json.loads(out)
    jsonschema.validate(document, SCHEMA)
    assert (code, err, document["valid"], document["trust"]) == (1, "", False, 0)
    assert document["components"] == []


@pytest.mark.parametrize("text", GOOD + BAD)
def test_every_sentence_is_whole(run, text):
    for option in ((), ("--json",)):
        out = run(text, *option)[1]
        assert "reason." not in out
        assert "mark." not in out.replace("mark.\n", "").replace("mark. ", "").replace('mark."', "")
        assert "mark_" not in "".join(json.loads(out)["notes"] if option else out)
        assert not option or not any("{" in n for n in json.loads(out)["notes"])


@pytest.mark.parametrize("text", ["", " ", "\t"])
def test_nothing_is_bad_input(run, text):
    code, out, err = run(text)
    assert (code, out) == (2, "")
    assert "Expected what stands on the item" in err
    assert "Nothing was saved" in err


@pytest.mark.parametrize(
    ("text", "place"), [(">PP-(GF25+JX15)<", "J"), (">HDPE<", "H"), (">ABS-FR(99)<", "9"), (">PC+XYZ<", "X")]
)
def test_a_caret_stands_under_the_fault(run, text, place):
    lines = run(text)[1].splitlines()
    at = next(i for i, line in enumerate(lines) if line.strip() == "^")
    assert lines[at - 1][lines[at].index("^")] == place


def test_people_get_plain_sentences(run):
    out = " ".join(run(">PP-TD20<")[1].split())
    assert "PP (polypropylene)" in out
    assert "20 % talc powder" in out
    assert "sinks in water" in out
    assert "A mark is no proof" in out


@pytest.mark.parametrize("how", ["printed", "sticker", "unclear"])
def test_how_it_stands_lowers_the_trust(run, how):
    moulded = json.loads(run("2 HDPE", "--json")[1])["trust"]
    assert json.loads(run("2 HDPE", "--how", how, "--json")[1])["trust"] < moulded


def test_the_nearest_marks_are_a_question(run):
    code, out, _ = run("HDPP")
    assert code == 1
    assert "HDPE" in out
    assert "It says" not in out


def test_an_unknown_way_is_refused(run):
    assert run("2", "--how", "carved")[0] == 2
