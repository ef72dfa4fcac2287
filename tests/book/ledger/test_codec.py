"""Events ↔ plain dicts: nothing changes on the way, nothing is taken for what it is not, nothing is dropped."""

import copy
import json
from pathlib import Path

import jsonschema
import pytest
from hypothesis import given
from ledger_story import BODIES, EVERY_KIND, STATION, create, judged, opened, received

from intake.errors import BadInput
from intake.ledger.codec import body_of, document, event_of, plain_body
from intake.ledger.envelope import canonical, parse
from intake.ledger.events import BinOpened, Judged, PrepDone, Received, Revised, SplitOff, Unknown
from intake.table.item import Label

KIND_IDS = [type(body).__name__ for body in EVERY_KIND]
VALIDATOR = jsonschema.Draft202012Validator(
    json.loads(
        (Path(__file__).parents[3] / "shared" / "ledger-event.schema.json").read_text(encoding="utf-8")
    )
)


@pytest.fixture(scope="module")
def events(tmp_path_factory):
    with create(tmp_path_factory.mktemp("codec") / "l") as ledger:
        return ledger.append(EVERY_KIND)


@pytest.mark.parametrize("body", EVERY_KIND, ids=KIND_IDS)
def test_a_body_comes_back_as_it_was(body):
    plain = json.loads(json.dumps(plain_body(body)))
    assert body_of(1, type(body).__name__, plain) == body


@given(BODIES)
def test_any_body_comes_back_as_it_was(body):
    assert body_of(1, type(body).__name__, parse(canonical(plain_body(body)))) == body


@pytest.mark.parametrize("place", range(len(EVERY_KIND)), ids=KIND_IDS)
def test_an_event_comes_back_as_it_was_and_is_written_the_same_again(events, place):
    payload = canonical(document(events[place]))
    again = event_of(parse(payload))
    assert again == events[place]
    assert canonical(document(again)) == payload


def broken(doc):
    """The document with each part of its body taken away, made wrong, or joined by a stranger."""
    for name in doc["body"]:
        for value in (None, [], 7.5, "no such word", True, -1, {}):
            changed = copy.deepcopy(doc)
            changed["body"][name] = value
            yield name, value, changed


@pytest.mark.parametrize("place", range(len(EVERY_KIND)), ids=KIND_IDS)
def test_codec_and_schema_refuse_the_same_bodies(events, place):
    """The published schema and the code that reads are written apart; here each checks the other."""
    for name, value, doc in broken(document(events[place])):
        understood = not isinstance(event_of(doc).body, Unknown)
        assert understood == VALIDATOR.is_valid(doc), (name, value, event_of(doc).body)


@pytest.mark.parametrize(
    ("v", "kind", "plain", "why"),
    [
        (1, "Melted", {"bin": "QT-01"}, "kind 'Melted' is not known to this version"),
        (2, "Placed", {"item": "a1", "bin": "QT-01"}, "written by a newer version (schema 2)"),
        (
            1,
            "Received",
            {"item": "a1", "kind": "jug", "residue": "tar"},
            "Received, residue: 'tar' is not one of clean",
        ),
        (1, "Received", {"item": "a1", "kind": "jug", "count": True}, "Received, count: 'True' is no int"),
        (1, "Placed", {"item": "a1"}, "Placed has no bin"),
        (1, "Placed", ["a1", "QT-01"], "Placed is no object"),
        (1, "EvidenceAdded", {"item": "a1", "evidence": {"type": "Flame"}}, "not one of Mark, FloatTest"),
        (1, "SplitOff", {"item": "a1", "parent": "b", "mass_g": -1}, "cannot use '-1.0'"),
    ],
)
def test_what_is_not_understood_is_kept_as_it_stands_and_says_why(v, kind, plain, why):
    body = body_of(v, kind, plain)
    assert isinstance(body, Unknown)
    assert why in body.why
    assert plain_body(body) == plain


def test_a_field_that_a_later_version_added_does_not_lose_the_event():
    assert body_of(1, "Placed", {"item": "a1", "bin": "QT-01", "shelf": 3}).bin == "QT-01"


@pytest.mark.parametrize("kind", list(dict.fromkeys(KIND_IDS)))
def test_an_unknown_body_cannot_be_changed(kind):
    body = body_of(2, kind, {"list": [{"a": 1}]})
    with pytest.raises(TypeError):
        body.body["list"] = 1
    assert body.body["list"][0]["a"] == 1


@pytest.mark.parametrize(
    "make",
    [
        lambda: received("a1", count=0),
        lambda: received(""),
        lambda: received("a1", gross_g=-0.1),
        lambda: received("a1", gross_g=float("nan")),
        lambda: received("a1", tare_g=float("inf")),
        lambda: received("a1", resolution_g=0.0),
        lambda: SplitOff(item="a2", parent="a1", mass_g=float("nan")),
        lambda: PrepDone(item="a1", step="label", minutes=-1.0),
        lambda: opened(capacity_l=-1.0),
        lambda: Judged(item="a", stage="resin", verdict="hold", resin="PP", probability=1.2, edition=""),
        lambda: Revised(item="a1", changes={"weight": 3}),
        lambda: Revised(item="a1", changes={"item": "a2"}),
        lambda: Revised(item="a1", changes={"gross_g": "heavy"}),
        lambda: Revised(item="a1", changes={"gross_g": -3}),
        lambda: Revised(item="a1", changes={"label": "gold"}),
        lambda: Revised(item="a1", changes={"count": None}),
    ],
)
def test_a_fact_that_cannot_be_is_refused_where_it_is_made(make):
    with pytest.raises(BadInput, match="Expected"):
        make()


def test_a_revision_holds_typed_values_whoever_made_it():
    assert Revised(item="a1", changes={"label": "film", "gross_g": 3}).changes == {
        "label": Label.FILM,
        "gross_g": 3.0,
    }
    assert type(Revised(item="a1", changes={"gross_g": 3}).changes["gross_g"]) is float


@pytest.mark.parametrize(
    "body",
    [
        judged("a1", verdict="accept").__class__(
            item="a1", stage="resin", verdict="hold", resin="PP", probability=0.5, edition="x", reasons=()
        ),
        BinOpened(bin="QT-1", resin="PP", colour="natural", flow="film", capacity_g=12),
        Received(item="a", kind="k", gross_g=12, note="line\nend \u2028 tab\t"),
    ],
    ids=["words as text", "whole numbers", "odd text"],
)
def test_loose_values_are_written_as_their_types_say(body):
    payload = canonical(plain_body(body))
    assert b"\n" not in payload
    again = body_of(1, type(body).__name__, parse(payload))
    assert canonical(plain_body(again)) == payload


@pytest.mark.parametrize("note", ["\ud800", "ok \udfff"])
def test_text_that_no_file_can_hold_is_refused_and_nothing_is_recorded(tmp_path, note):
    with create(tmp_path / "l") as ledger:
        with pytest.raises(BadInput, match="UTF-8"):
            ledger.append([received("a1"), received("a2", note=note)])
        assert not ledger.payloads()
        assert ledger.append([received("a1")])[0].id == f"{STATION}.1"
