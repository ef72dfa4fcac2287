"""Hybrid times always grow, whatever the clock does."""

from itertools import islice, pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st
from ledger_story import START_MS, Clock, create, received

from intake.errors import BadInput
from intake.ledger.envelope import MAX_MS, parse, ticks


@pytest.mark.parametrize(
    ("last", "now_ms", "expected"),
    [
        ("", 0, "0000000000000-00000"),
        ("", 1_795_599_660_123, "1795599660123-00000"),
        ("1795599660123-00000", 1_795_599_660_124, "1795599660124-00000"),
        ("1795599660123-00000", 1_795_599_660_123, "1795599660123-00001"),
        ("1795599660123-00041", 5, "1795599660123-00042"),
        ("1795599660123-99999", 5, "1795599660124-00000"),
    ],
)
def test_the_next_time_is_the_clock_s_or_just_behind_the_last(last, now_ms, expected):
    assert next(ticks(last, now_ms)) == expected


@given(st.lists(st.integers(0, MAX_MS - 1_000), min_size=1, max_size=6), st.integers(1, 30))
def test_times_grow_as_text_whatever_the_clock_does(clock, each):
    times, last = [], ""
    for now_ms in clock:
        times += islice(ticks(last, now_ms), each)
        last = times[-1]
    assert all(a < b for a, b in pairwise(times))


@pytest.mark.parametrize("now_ms", [-1, MAX_MS + 1])
def test_a_clock_out_of_this_age_is_told(now_ms):
    with pytest.raises(BadInput, match="Clock"):
        next(ticks("", now_ms))


def test_a_clock_that_goes_backwards_does_not_turn_events_round(tmp_path):
    clock = Clock()
    with create(tmp_path / "l", clock=clock) as ledger:
        ledger.append([received("a1")])
        clock.now = START_MS - 86_400_000
        ledger.append([received("a2"), received("a3")])
        events = list(ledger.events())
    assert [e.hlc for e in events] == sorted(e.hlc for e in events)
    assert len({e.hlc[:13] for e in events}) == 1


@pytest.mark.parametrize("payload", [b"{} ", b"[1]", b'"x"', b"{} {}", b'{"a":Infinity}', b""])
def test_only_one_object_is_a_document(payload):
    with pytest.raises(ValueError, match=r"not one JSON object|expected value|trailing characters"):
        parse(payload)
