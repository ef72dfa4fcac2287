import subprocess
import sys
from math import inf

import pytest

from intake.solving import HighsSolver
from intake.table.charge.linear import LinearProgram, Row

SUM_ONE = Row(columns=(0, 1), factors=(1.0, 1.0), low=1.0, high=1.0)


def program(*rows: Row, whole: bool = False) -> LinearProgram:
    return LinearProgram(cost=(1.0, 2.0), upper=(1.0, 1.0), whole=(whole, whole), rows=rows)


def test_the_cheapest_answer_is_found() -> None:
    found = HighsSolver().solve(program(SUM_ONE))
    assert found is not None
    assert found.cost == pytest.approx(1.0)
    assert found.values == pytest.approx((1.0, 0.0))


@pytest.mark.parametrize("whole", [False, True])
def test_rows_that_speak_against_each_other_have_no_answer(whole: bool) -> None:
    three = Row(columns=(0, 1), factors=(1.0, 1.0), low=3.0, high=inf)
    assert HighsSolver().solve(program(SUM_ONE, three, whole=whole)) is None


@pytest.mark.parametrize("whole", [False, True])
@pytest.mark.parametrize(
    ("below", "there"), [(inf, True), (1.5, True), (1.0, False), (0.5, False), (-1.0, False)]
)
def test_only_an_answer_that_costs_less_is_given(whole: bool, below: float, there: bool) -> None:
    assert (HighsSolver().solve(program(SUM_ONE, whole=whole), below=below) is not None) is there


def test_whole_numbers_are_whole() -> None:
    half = Row(columns=(0, 1), factors=(2.0, 2.0), low=1.0, high=inf)
    found = HighsSolver().solve(program(half, whole=True))
    assert found is not None
    assert found.values == pytest.approx((1.0, 0.0))


def test_several_costs_give_the_cost_of_each() -> None:
    found = HighsSolver().least_costs(program(SUM_ONE), [(1.0, 2.0), (5.0, 3.0), (-1.0, 0.0)])
    assert found == pytest.approx((1.0, 3.0, -1.0))


def test_nothing_is_printed_beside_a_document() -> None:
    # the library greets on standard output unless it is asked not to
    code = (
        "from intake.solving import HighsSolver; from intake.table.charge.linear import LinearProgram;"
        "HighsSolver().solve(LinearProgram(cost=(1.0,), upper=(1.0,), whole=(True,), rows=()))"
    )
    run = subprocess.run([sys.executable, "-c", code], capture_output=True, check=True)
    assert (run.stdout, run.stderr) == (b"", b"")
