import pytest
from hypothesis import given
from hypothesis import strategies as st

from intake.errors import BadInput
from intake.table.bins.ids import next_bin_id, parse_bin_id


@pytest.mark.parametrize(
    ("letters", "existing", "expected"),
    [
        ("QT", [], "QT-01"),
        ("QT", ["QT-01", "QT-03"], "QT-04"),
        ("QT", ["QR-07", "QT-02"], "QT-03"),
        ("H2", ["H2-99"], "H2-100"),
        ("QT", ["rubbish", "QT-", "QT-x"], "QT-01"),
    ],
)
def test_the_next_id_follows_the_highest_of_its_own_station(
    letters: str, existing: list[str], expected: str
) -> None:
    assert next_bin_id(letters, existing) == expected


@given(st.integers(1, 60))
def test_no_id_is_given_twice(count: int) -> None:
    given_out: list[str] = []
    for _ in range(count):
        given_out.append(next_bin_id("QT", given_out))
    assert len(set(given_out)) == count
    assert all(parse_bin_id(i) == i for i in given_out)


@pytest.mark.parametrize("letters", ["", "qt", "TOOLONG", "2H", "Q T", "ÄB"])
def test_letters_that_could_not_be_read_back_are_refused(letters: str) -> None:
    with pytest.raises(BadInput, match="capital letters"):
        next_bin_id(letters, [])


def test_a_station_that_used_all_numbers_says_so() -> None:
    with pytest.raises(BadInput, match="all used"):
        next_bin_id("QT", ["QT-9999"])


@pytest.mark.parametrize("text", ["", "QT", "QT-", "QT-1", "QT 04", "QT-04-05", "../QT-04", "QT-٠٤"])
def test_an_id_not_written_as_on_a_tag_is_refused(text: str) -> None:
    with pytest.raises(BadInput, match="QT-04"):
        parse_bin_id(text)


def test_letter_case_and_spaces_of_a_typed_id_do_not_matter() -> None:
    assert parse_bin_id(" qt-04 ") == "QT-04"
