"""A ledger written by version 1 of the events, in November 2026, is read for ever and says what it said then.

`stored/v1.journal` is never written anew: it holds one event of every kind of that day, most with every field,
and behind them an event of a newer program. `stored/v1.state.json` is what it came to then. A field that is added
to the state later may be missing there; nothing that stands there may change.
"""

import json
import shutil
from pathlib import Path

import pytest
from ledger_story import STATION, received, reopen

from intake.ledger import Ledger, fold
from intake.ledger.envelope import parse
from intake.ledger.events import KINDS, Unknown
from intake.ledger.kept_fold import KeptFolding
from intake.ledger.verify import verify

STORED = Path(__file__).parent / "stored"
NEWER = "Pelletised"


@pytest.fixture
def folder(tmp_path):
    (tmp_path / "l").mkdir()
    shutil.copy(STORED / "v1.journal", tmp_path / "l" / "journal")
    return tmp_path / "l"


def plain(events):
    """The state of these events as JSON says it, with the items by name."""
    folding = KeptFolding(fold(events).undone)
    for event in sorted(events, key=lambda event: event.order):
        folding.apply(event)
    found = folding.plain()
    lines = [parse(one) if isinstance(one, bytes) else one for one in folding.item_lines()]
    return json.loads(json.dumps({**found, "items": dict(zip(found["items"], lines, strict=True))}))


def holds(old, new, at="state"):
    """Everything that `old` says is said by `new`, also where that has more."""
    if isinstance(old, dict):
        assert old.keys() <= new.keys(), at
        for name, part in old.items():
            holds(part, new[name], f"{at}.{name}")
    elif isinstance(old, list):
        assert len(old) == len(new), at
        for number, (one, other) in enumerate(zip(old, new, strict=True)):
            holds(one, other, f"{at}[{number}]")
    else:
        assert old == new, at


def test_the_old_ledger_comes_to_what_it_came_to_then(folder):
    with Ledger.open(folder) as ledger:
        holds(
            json.loads((STORED / "v1.state.json").read_text(encoding="utf-8")), plain(list(ledger.events()))
        )


def test_every_kind_of_that_day_is_in_it(folder):
    with Ledger.open(folder) as ledger:
        kinds = {event.kind for event in ledger.events()}
    assert NEWER in kinds
    assert len(kinds - {NEWER}) >= 23
    assert kinds - {NEWER} <= set(KINDS)  # a kind that was ever written is known for ever


def test_an_event_of_a_newer_program_is_kept_as_it_stands_and_reported(folder):
    with reopen(folder) as ledger:
        newer = next(event for event in ledger.events() if event.kind == NEWER)
        assert isinstance(newer.body, Unknown)
        assert newer.body.body["grams"] == 12.5
        assert ledger.unread == (newer.id,)
        before = next(payload for payload in ledger.payloads() if b'"Pelletised"' in payload)
        (event,) = ledger.append([received("after")])
        assert (event.station, event.v) == (STATION, 1)
    with Ledger.open(folder) as again:
        assert before in again.payloads()
        assert b'"sealed":true' in before
    assert any(finding.got == NEWER for finding in verify(folder).findings)


def test_nothing_else_about_it_is_unknown(folder):
    with Ledger.open(folder) as ledger:
        assert [event.kind for event in ledger.events() if isinstance(event.body, Unknown)] == [NEWER]
    assert not verify(folder).damage
