"""One value, one cell, and back, with nothing a spreadsheet would run."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from intake.desk.exchange.cells import (
    FORMULA_STARTS,
    NotOfTypeError,
    cell_text,
    guarded,
    iso_time,
    unguarded,
    value_of,
)
from intake.desk.exchange.columns import Type


# OWASP, CSV injection (from memory): a cell must not begin with = + - @, tab or carriage return
@pytest.mark.parametrize(
    "text",
    [
        "=1+1",
        "+1",
        "-1",
        "@SUM(A1)",
        "\t=1",
        "\r=1",
        "\n=1",
        "＝1+1",
        '=HYPERLINK("x")',
        "-2+3+cmd|' /C calc'!A0",
    ],
)
def test_no_cell_begins_like_a_formula(text) -> None:
    assert not cell_text(text, Type.STRING).startswith(FORMULA_STARTS)
    assert value_of(cell_text(text, Type.STRING), Type.STRING, guard=True) == text


@given(st.text())
def test_a_guarded_text_comes_back_as_it_was(text) -> None:
    assert unguarded(guarded(text)) == text
    assert not guarded(text).startswith(FORMULA_STARTS)


@pytest.mark.parametrize("text", ["'", "''", "'=1", "'quoted'", "o'clock"])
def test_a_text_that_begins_with_the_guard_keeps_it(text) -> None:
    assert value_of(cell_text(text, Type.STRING), Type.STRING, guard=True) == text


@given(st.floats(allow_nan=False, allow_infinity=False))
def test_a_number_keeps_every_digit(value) -> None:
    assert value_of(cell_text(value, Type.NUMBER), Type.NUMBER, guard=True) == value


@given(st.integers(-(10**17), 10**17))
def test_a_whole_number_comes_back(value) -> None:
    assert value_of(cell_text(value, Type.INTEGER), Type.INTEGER, guard=True) == value


@pytest.mark.parametrize(
    ("of", "cell"),
    [
        (Type.NUMBER, "nan"), (Type.NUMBER, "inf"), (Type.NUMBER, "1,5"), (Type.NUMBER, "12 g"),
        (Type.NUMBER, True),
        (Type.NUMBER, "1e999"), (Type.INTEGER, "1.5"), (Type.INTEGER, 1.5), (Type.INTEGER, "many"),
        (Type.INTEGER, float("inf")), (Type.BOOLEAN, "yes"), (Type.BOOLEAN, 1), (Type.DATETIME, "yesterday"),
        (Type.DATETIME, "2026-02-30T10:00:00Z"), (Type.DATETIME, "2026-11-25"), (Type.STRING, 5),
    ],
)  # fmt: skip
def test_a_cell_of_another_type_is_refused_with_what_would_be_right(of, cell) -> None:
    with pytest.raises(NotOfTypeError, match=r"text|number|true|time"):
        value_of(cell, of, guard=True)


@pytest.mark.parametrize(("value", "text"), [(True, "true"), (False, "false"), (None, "")])
def test_truth_and_nothing_have_one_spelling(value, text) -> None:
    assert cell_text(value, Type.BOOLEAN) == text
    assert value_of(text, Type.BOOLEAN, guard=True) is value


@pytest.mark.parametrize(
    ("ms", "text"),
    [
        pytest.param(0, "1970-01-01T00:00:00Z", id="ISO 8601, the epoch"),
        pytest.param(1_000_000_000_000, "2001-09-09T01:46:40Z", id="a thousand million seconds, well known"),
    ],
)
def test_a_time_is_written_as_iso_8601(ms, text) -> None:
    assert iso_time(ms) == text
