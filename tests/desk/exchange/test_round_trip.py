"""What leaves can come back: the same events, the same state, in every format and for any history."""

import shutil
import tempfile
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from ledger_story import BODIES, OTHER, a_day, create, received

from intake.desk.exchange import Format, export, take
from intake.errors import Refusal
from intake.ledger import Ledger


def _same(one: Path, other: Path) -> bool:
    with Ledger.open(one) as a, Ledger.open(other) as b:
        return a.payloads() == b.payloads() and a.state == b.state


@settings(max_examples=25, deadline=None)
@given(acts=st.lists(st.lists(BODIES, min_size=1, max_size=3), max_size=12), form=st.sampled_from(Format))
def test_any_history_comes_back_as_the_same_state(acts, form, handbook) -> None:
    with tempfile.TemporaryDirectory() as name:
        base = Path(name)
        with create(base / "one") as ledger:
            for bodies in acts:
                ledger.append(bodies)
        export(base / "one", base / "out", handbook, form)
        take(base / "out", base / "two", handbook)
        assert _same(base / "one", base / "two")


@settings(max_examples=15, deadline=None)
@given(acts=st.lists(BODIES, max_size=12), form=st.sampled_from(Format))
def test_tables_read_again_say_what_the_events_say(acts, form, handbook) -> None:
    # with the hashes out of the way every cell is read and compared
    with tempfile.TemporaryDirectory() as name:
        base = Path(name)
        with create(base / "one") as ledger:
            for body in acts:
                ledger.append([body])
        export(base / "one", base / "out", handbook, form)
        text = (base / "out" / "datapackage.json").read_text(encoding="utf-8")
        head, events = text.rsplit('"name": "events"', 1)
        head = head.replace('"hash": "sha256:', '"hash": "sha256:0')
        (base / "out" / "datapackage.json").write_text(f'{head}"name": "events"{events}', encoding="utf-8")
        assert take(base / "out", base / "two", handbook).new


@pytest.mark.parametrize("form", Format)
def test_every_kind_of_event_comes_back(form, exports, full_ledger, tmp_path, handbook) -> None:
    done = take(exports[form], tmp_path / "again", handbook)
    assert (done.new, done.known) == (True, 0)
    assert done.lots == 1
    assert _same(full_ledger, tmp_path / "again")


def test_taking_twice_adds_nothing(exports, tmp_path, handbook) -> None:
    first = take(exports[Format.CSV], tmp_path / "again", handbook)
    second = take(exports[Format.JSON], tmp_path / "again", handbook)
    assert (second.added, second.known, second.new) == (0, first.added, False)


def test_an_export_joins_what_another_table_knows(exports, tmp_path, handbook) -> None:
    with create(tmp_path / "other", station=OTHER) as ledger:
        a_day(ledger, 20, letters="w")
    done = take(exports[Format.CSV], tmp_path / "other", handbook)
    assert done.known == 0
    with Ledger.open(tmp_path / "other") as ledger:
        assert len(ledger.payloads()) == 20 + done.added
        assert len(ledger.heads) == 2


def test_a_ledger_made_from_an_export_has_a_name_of_its_own(exports, full_ledger, tmp_path, handbook) -> None:
    take(exports[Format.CSV], tmp_path / "again", handbook)
    with Ledger.open(full_ledger) as first, Ledger.open(tmp_path / "again") as again:
        assert again.station != first.station
        assert again.station.split("-")[0] == first.station.split("-")[0]


def test_two_tables_that_went_on_under_one_name_are_not_mixed(exports, tmp_path, handbook) -> None:
    with create(tmp_path / "copy") as ledger:
        ledger.append([received("z9")])
    with pytest.raises(Refusal, match="differ"):
        take(exports[Format.CSV], tmp_path / "copy", handbook)


def test_an_earlier_export_is_replaced_whole(exports, full_ledger, tmp_path, handbook) -> None:
    shutil.copytree(exports[Format.CSV], tmp_path / "out")
    done = export(full_ledger, tmp_path / "out", handbook, Format.XLSX)
    assert sorted(p.name for p in (tmp_path / "out").iterdir()) == list(done.files)
    assert not [p for p in tmp_path.iterdir() if p.name.startswith(".")]
