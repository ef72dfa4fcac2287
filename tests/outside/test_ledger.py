"""The ledger's check sum, hash, clock and schema against what is published about them."""

import hashlib
import json
from pathlib import Path
from zlib import crc32

import jsonschema
import pytest
from ledger_story import EVERY_KIND, STATION, create

from intake.ledger.envelope import canonical, digest
from intake.ledger.events import KINDS
from intake.ledger.records import frame, unframe

SCHEMA = json.loads(
    (Path(__file__).parents[2] / "shared" / "ledger-event.schema.json").read_text(encoding="utf-8")
)
VALIDATOR = jsonschema.Draft202012Validator(SCHEMA)


@pytest.mark.parametrize(
    ("data", "check"),
    [
        pytest.param(b"123456789", 0xCBF43926, id="check value of CRC-32/ISO-HDLC (RFC 1952, ISO 3309)"),
        pytest.param(b"", 0, id="nothing"),
        pytest.param(b"a", 0xE8B7BE43, id="one letter, from memory"),
    ],
)
def test_the_check_sum_is_the_published_crc_32(data, check):
    assert crc32(data) == check


def test_a_record_carries_the_crc_32_of_its_body():
    """The body of a lone record is '1/1 ' and the payload; its CRC is computed here bit by bit, without zlib."""
    line = frame([b'{"a":1}'])
    register = 0xFFFFFFFF
    for byte in b'1/1 {"a":1}':
        register ^= byte
        for _ in range(8):
            register = (register >> 1) ^ (0xEDB88320 if register & 1 else 0)
    assert line == b'%08x %08x 1/1 {"a":1}\n' % (11, register ^ 0xFFFFFFFF)
    assert unframe(line) == (1, 1, b'{"a":1}')


@pytest.mark.parametrize(
    ("data", "expected"),
    [
        pytest.param(
            b"abc",
            "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad",
            id="FIPS 180-4 example: abc",
        ),
        pytest.param(
            b"abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq",
            "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1",
            id="FIPS 180-4 example: 448 bits",
        ),
        pytest.param(
            b"",
            "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855",
            id="empty message, from memory",
        ),
    ],
)
def test_the_chain_hashes_with_sha_256(data, expected):
    assert digest(data) == expected


def test_the_chain_can_be_followed_with_nothing_but_the_file_and_sha_256(tmp_path):
    """Common practice, no source: an outsider with `cut` and `sha256sum` reads the same chain."""
    with create(tmp_path / "l") as ledger:
        ledger.append(EVERY_KIND)
    lines = (tmp_path / "l" / "journal").read_bytes().splitlines()[1:]
    texts = [line[18:].split(b" ", 1)[1] for line in lines]
    assert [json.loads(text)["prev"] for text in texts[1:]] == [
        hashlib.sha256(t).hexdigest() for t in texts[:-1]
    ]


@pytest.mark.parametrize("document", [{"b": 1, "a": [1.5, "é\n"]}, {"z": {"y": None, "x": True}}])
def test_canonical_text_is_json_with_sorted_keys_and_no_spaces(document):
    """RFC 8259 for the grammar; sorting and no spaces as in RFC 8785."""
    text = canonical(document).decode()
    assert json.loads(text) == document
    assert text == json.dumps(document, sort_keys=True, separators=(",", ":"), ensure_ascii=False)
    assert "\n" not in text


def test_the_schema_is_a_schema_and_names_every_kind():
    jsonschema.Draft202012Validator.check_schema(SCHEMA)
    assert SCHEMA["properties"]["kind"]["enum"] == list(KINDS)
    assert {type(body).__name__ for body in EVERY_KIND} == set(KINDS)


@pytest.fixture
def documents(tmp_path):
    with create(tmp_path / "l") as ledger:
        ledger.append(EVERY_KIND)
        return [json.loads(payload) for payload in ledger.payloads()]


@pytest.mark.parametrize("place", range(len(EVERY_KIND)), ids=[type(b).__name__ for b in EVERY_KIND])
def test_what_is_written_keeps_the_published_schema(documents, place):
    VALIDATOR.validate(documents[place])
    assert documents[place]["id"] == f"{STATION}.{place + 1}"


@pytest.mark.parametrize("key", ["v", "station", "seq", "hlc", "id", "kind", "body", "prev"])
def test_the_schema_misses_every_part_of_the_envelope(documents, key):
    assert not VALIDATOR.is_valid({k: v for k, v in documents[1].items() if k != key})
