"""Every byte of a journal: cut there, or changed there, it reads up to there or says what is wrong."""

import io
import random
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st
from ledger_story import a_day, create

from intake.ledger.records import Bad, Group, Torn, frame, read_groups, unframe

EVENTS = 40
"""The same walk over 200 events is for `tests/bench`; forty hold every shape a record has."""


@pytest.fixture(scope="module")
def journal(tmp_path_factory):
    folder = tmp_path_factory.mktemp("day") / "l"
    with create(folder) as ledger:
        a_day(ledger, EVENTS)
    return (folder / "journal").read_bytes()


def parts(data):
    return list(read_groups(io.BytesIO(data)))


@pytest.fixture(scope="module")
def groups(journal):
    found = parts(journal)
    assert all(isinstance(part, Group) for part in found)
    assert sum(len(part.payloads) for part in found) == EVENTS + 1
    return found


def test_groups_stand_one_behind_the_other_from_the_first_byte_to_the_last(journal, groups):
    assert [a.end for a, b in pairwise(groups)] == [b.start for a, b in pairwise(groups)]
    assert (groups[0].start, groups[-1].end) == (0, len(journal))


def test_a_journal_cut_at_any_byte_reads_all_whole_groups_and_tells_the_torn_rest(journal, groups):
    for length in range(len(journal)):
        whole = [group for group in groups if group.end <= length]
        good = whole[-1].end if whole else 0
        rest = [Torn(start=good, end=length)] if length > good else []
        assert parts(journal[:length]) == [*whole, *rest], length


@pytest.mark.parametrize("zeros", [1, 17, 4096])
def test_zero_bytes_behind_a_cut_belong_to_the_torn_rest(journal, groups, zeros):
    """A size that was recorded before the content leaves zeros; seen after power cuts, common practice.

    Where only a line end is missing, one changed byte would look the same: that counts as damage.
    """
    for length in range(groups[-2].end, len(journal)):
        found = parts(journal[:length] + bytes(zeros))
        assert found[: len(groups) - 1] == groups[:-1]
        if journal[length : length + 1] == b"\n":
            assert isinstance(found[-1], Bad)
        else:
            assert found[-1] == Torn(start=groups[-2].end, end=length + zeros), length


def test_any_changed_byte_is_damage_in_its_record_and_never_a_torn_tail(journal, groups):
    chance = random.Random(7)
    starts = [offset for group in groups for offset in group.offsets]
    for place in range(len(journal)):
        flipped = bytearray(journal)
        flipped[place] ^= 1 << chance.randrange(8)
        found = parts(bytes(flipped))
        first = next(part for part in found if not isinstance(part, Group))
        assert isinstance(first, Bad), place
        assert first.start == max(start for start in starts if start <= place), place
        assert not any(isinstance(part, Torn) for part in found), place


def test_any_bit_of_a_last_record_is_seen(journal, groups):
    last = groups[-1].offsets[-1]
    for place in range(last, len(journal)):
        for bit in range(8):
            flipped = bytearray(journal)
            flipped[place] ^= 1 << bit
            assert isinstance(parts(bytes(flipped))[-1], Bad), (place, bit)


def test_damage_swallows_no_group_but_its_own_and_where_a_line_end_is_lost_the_next(journal, groups):
    ends = {group.end - 1 for group in groups}
    for place in range(0, len(journal), 3):
        flipped = bytearray(journal)
        flipped[place] ^= 0x20
        read = {part.start for part in parts(bytes(flipped)) if isinstance(part, Group)}
        hit = next(number for number, group in enumerate(groups) if place < group.end)
        lost = {hit, hit + 1} if place in ends else {hit}
        kept = {group.start for number, group in enumerate(groups) if number not in lost}
        assert kept <= read, place


@pytest.mark.parametrize(
    "length", [b"ffffffff", b"00000000", b"7fffffff", b"00000001", b"-0000001", b"zzzzzzzz"]
)
def test_a_wrong_length_swallows_nothing(journal, groups, length):
    start = groups[2].start
    found = parts(journal[:start] + length + journal[start + 8 :])
    assert next(part for part in found if isinstance(part, Bad)).start == start
    assert found[-1] == groups[-1]


@pytest.mark.parametrize("missing", [0, 1, 2])
def test_a_record_taken_out_of_its_group_is_damage(missing):
    lines = frame([b'{"n":1}', b'{"n":2}', b'{"n":3}']).splitlines(keepends=True)
    data = frame([b'{"n":0}']) + b"".join(lines[:missing] + lines[missing + 1 :]) + frame([b'{"n":4}'])
    found = parts(data)
    assert found[0].payloads == (b'{"n":0}',)
    assert isinstance(found[1], Bad)
    assert b'{"n":3}' not in [
        payload for part in found if isinstance(part, Group) for payload in part.payloads
    ]


@given(st.lists(st.binary(min_size=1).map(lambda b: b.replace(b"\n", b"?")), min_size=1, max_size=5))
def test_what_is_framed_is_read_back(payloads):
    (group,) = parts(frame(payloads))
    assert group.payloads == tuple(payloads)


@given(st.binary(max_size=200))
def test_noise_is_never_taken_for_a_group(noise):
    assert not any(isinstance(part, Group) for part in parts(noise))


@pytest.mark.parametrize(
    ("line", "says"),
    [
        (b"00000009 00000000 1/1 {}\n", "its length is 6 bytes, not '00000009'"),
        (b"00000006 00000000 1/1 {}\n", "its check sum is"),
        (frame([b"{}"])[:9] + frame([b"{}"])[9:18].upper() + b"1/1 {}\n", "its check sum is"),
        (b"\n", "its length is 0 bytes"),
    ],
)
def test_what_is_wrong_with_a_line_is_told(line, says):
    assert says in unframe(line)
