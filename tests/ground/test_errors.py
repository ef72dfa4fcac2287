"""Every error is one sentence that says what, where, what would be right and what was kept."""

import pytest

from intake.errors import BadInput, Finding, ManyFaults, UnknownName, nearest_names


def test_the_sentence_says_what_where_and_what_would_be_right() -> None:
    error = BadInput(where="Sheet row 14, column mass", got="-3 g", expected="a mass above 0 g, such as 12 g")
    assert str(error) == (
        "Sheet row 14, column mass: cannot use '-3 g'. Expected a mass above 0 g, such as 12 g. "
        "Nothing was saved."
    )
    assert error.exit_code == 2


def test_an_empty_value_is_called_empty() -> None:
    assert "cannot use an empty value" in str(BadInput(where="x", got=" ", expected="y"))
    assert "cannot use an empty value" in str(Finding(where="x", got="", expected="y"))


@pytest.mark.parametrize(("typed", "near"), [("PE-HDD", "PE-HD"), ("pehd", "PE-HD"), ("POM ", "POM")])
def test_an_unknown_name_brings_the_nearest(typed: str, near: str) -> None:
    error = UnknownName(where="Resin", got=typed, known=["PE-HD", "PE-LD", "PP", "POM"])
    assert near in error.nearest
    assert near in str(error)


def test_a_name_like_nothing_gets_the_list() -> None:
    assert nearest_names("zzz", ["PE-HD", "PP"]) == []
    assert "PE-HD, PP" in str(UnknownName(where="Resin", got="zzz", known=["PE-HD", "PP"]))


def test_all_faults_are_told_at_once() -> None:
    faults = ManyFaults([Finding(where=f"row {n}", got="x", expected="y") for n in (2, 5)])
    assert str(faults).splitlines() == [
        "row 2: cannot use 'x'. Expected y.",
        "row 5: cannot use 'x'. Expected y.",
        "Nothing was saved.",
    ]
