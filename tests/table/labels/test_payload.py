import json
import re
from dataclasses import asdict
from pathlib import Path

import jsonschema
import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from intake.errors import BadInput
from intake.table.labels.payload import MAX_BYTES, Found, LabelKind, Payload, check, read_payload

SHARED = Path(__file__).parents[3] / "shared"
SCHEMA = json.loads((SHARED / "bin-label.schema.json").read_text(encoding="utf-8"))
TAG = Payload(kind=LabelKind.TAG, ids=("QT-04",), line="Bin QT-04: PE-HD (2), natural, blow")

LINES = st.text(st.characters(min_codepoint=32, max_codepoint=126), min_size=1, max_size=48)
IDS = st.lists(st.from_regex(r"[A-Z]{2}-[0-9]{2,4}", fullmatch=True), min_size=1, max_size=2).map(tuple)
PAYLOADS = st.builds(Payload, kind=st.sampled_from(LabelKind), ids=IDS, line=LINES)


@given(PAYLOADS)
def test_what_is_written_is_read_back(payload: Payload) -> None:
    scan = read_payload(payload.text)
    assert (scan.found, scan.payload, scan.reason) == (Found.OURS, payload, None)


@given(PAYLOADS)
def test_text_and_payload_keep_to_the_schema_and_fit_the_symbol(payload: Payload) -> None:
    text = payload.text
    person, machine = text.split("\n")
    assert text.isascii()
    assert (len(person) <= 48, len(machine) <= 25, len(text) <= MAX_BYTES) == (True, True, True)
    jsonschema.validate(json.loads(json.dumps(asdict(payload))), SCHEMA)
    jsonschema.validate(text, SCHEMA["$defs"]["text"])


@given(payload=PAYLOADS, at=st.integers(0, 200), put=st.characters(max_codepoint=0x2FFF))
def test_one_changed_character_is_never_taken_for_ours(payload: Payload, at: int, put: str) -> None:
    text = payload.text
    at %= len(text)
    changed = text[:at] + put + text[at + 1 :]
    assert (read_payload(changed).found is Found.OURS) == (changed == text)


@given(st.text(max_size=120))
@example("\n")
@example("RI1T")
@example("RI1T QT-04 EHGG")
@example("\ud800\nRI1T QT-04 AAAA")
def test_anything_may_stand_in_front_of_the_camera(text: str) -> None:
    scan = read_payload(text)
    assert scan.found is not Found.OURS
    assert scan.reason is not None


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("", Found.FOREIGN),
        ("https://example.org/", Found.FOREIGN),
        ("RIGA\nRIGA T", Found.FOREIGN),
        (TAG.text + "\n", Found.FOREIGN),
        (TAG.text.lower(), Found.FOREIGN),
        (TAG.text.replace("natural", "white"), Found.DAMAGED),
        (TAG.text[:-1], Found.DAMAGED),
        (TAG.text + " ", Found.DAMAGED),
        (TAG.text.replace("RI1T", "RI1X"), Found.DAMAGED),
        (TAG.text.replace("RI1T", "RI0T"), Found.DAMAGED),
        (TAG.text.replace("\n", "\r\n"), Found.DAMAGED),
        ("Bin QT-04\nRI2T QT-04 with=more fields", Found.NEWER),
        ("Bin QT-04\nRI17Z anything", Found.NEWER),
    ],
)
def test_a_text_that_is_not_a_whole_label_of_ours_is_told_apart(text: str, found: Found) -> None:
    scan = read_payload(text)
    assert (scan.found, scan.payload) == (found, None)
    assert scan.reason is not None
    assert scan.reason.code == f"scan_{found}"


@pytest.mark.parametrize(
    "wrong",
    [
        {"line": ""},
        {"line": "x" * 49},
        {"line": "Kübel"},
        {"line": "two\nlines"},
        {"ids": ()},
        {"ids": ("QT-04", "QT-05", "QT-06")},
        {"ids": ("qt-04",)},
        {"ids": ("QT 04",)},
        {"ids": ("QT--04",)},
        {"ids": ("ABCDEFG-1234567890",)},
    ],
)
def test_a_payload_that_could_not_be_read_back_is_refused(wrong) -> None:
    with pytest.raises(BadInput, match="Label"):
        Payload(**{"kind": LabelKind.TAG, "ids": ("QT-04",), "line": "Bin QT-04", **wrong})


def test_the_example_of_the_written_format_is_what_the_code_writes() -> None:
    page = (SHARED / "bin-label.md").read_text(encoding="utf-8")
    example_text = "\n".join(re.findall(r"^    (.+)$", page, re.MULTILINE))
    assert example_text == TAG.text


def test_the_check_covers_the_line_for_people() -> None:
    assert check("a\nRI1T QT-04") != check("b\nRI1T QT-04")
