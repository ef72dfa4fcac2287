"""Linear programs, also with whole numbers, solved by HiGHS to the last digit it has."""

from collections.abc import Sequence
from math import inf
from typing import Any

from intake.errors import IntakeError
from intake.table.charge.linear import LinearProgram, Optimum

_TIGHT = 1e-9
"""Rounding that is allowed in a row, in a whole number and in the best cost: the default gap would be 0.01 %."""


class HighsSolver:
    """Answers linear programs; holds no state from one to the next. Source: the MIT-licensed HiGHS library."""

    def solve(self, program: LinearProgram, *, below: float = inf) -> Optimum | None:
        """The best answer; None where no values keep all rows, or none that does costs less than `below`.

        Raises:
            IntakeError: the library gives up; it says why.
        """
        highs = _loaded(program)
        highs.setOptionValue("objective_bound", below)
        found = _run(highs)
        return found if found is not None and found.cost < below else None

    def least_costs(
        self, program: LinearProgram, costs: Sequence[Sequence[float]]
    ) -> tuple[float | None, ...]:
        """The cost of the best answer for each cost vector; each run begins where the last one ended.

        Raises:
            IntakeError: the library gives up; it says why.
        """
        import numpy as np

        highs = _loaded(program)
        columns = np.arange(len(program.cost), dtype=np.int32)
        found = []
        for cost in costs:
            highs.changeColsCost(len(columns), columns, np.asarray(cost, dtype=np.float64))
            best = _run(highs)
            found.append(best.cost if best else None)
        return tuple(found)


def _loaded(program: LinearProgram) -> Any:
    """A quiet HiGHS that holds the program."""
    import highspy
    import numpy as np

    # not `Highs`, whose callbacks print a banner on standard output, where a program expects JSON
    highs = highspy._core._Highs()  # noqa: SLF001
    highs.setOptionValue("output_flag", False)
    for name in ("primal_feasibility_tolerance", "dual_feasibility_tolerance", "mip_feasibility_tolerance"):
        highs.setOptionValue(name, _TIGHT)
    highs.setOptionValue("threads", 1)  # the same answer on every machine
    highs.setOptionValue("mip_rel_gap", 0.0)
    highs.setOptionValue("mip_abs_gap", _TIGHT)
    lp = highspy.HighsLp()
    lp.num_col_, lp.num_row_ = len(program.cost), len(program.rows)
    lp.col_cost_ = np.array(program.cost, dtype=np.float64)
    lp.col_lower_ = np.zeros(len(program.cost))
    lp.col_upper_ = np.array(program.upper, dtype=np.float64)
    lp.row_lower_ = np.array([r.low for r in program.rows], dtype=np.float64)
    lp.row_upper_ = np.array([r.high for r in program.rows], dtype=np.float64)
    lp.a_matrix_.format_ = highspy.MatrixFormat.kRowwise
    lp.a_matrix_.start_ = np.cumsum([0, *(len(r.columns) for r in program.rows)], dtype=np.int32)
    lp.a_matrix_.index_ = np.array([c for r in program.rows for c in r.columns], dtype=np.int32)
    lp.a_matrix_.value_ = np.array([f for r in program.rows for f in r.factors], dtype=np.float64)
    if any(program.whole):
        kinds = highspy.HighsVarType
        lp.integrality_ = [kinds.kInteger if w else kinds.kContinuous for w in program.whole]
    highs.passModel(lp)
    return highs


def _run(highs: Any) -> Optimum | None:
    """Run it and read the answer."""
    import highspy

    highs.run()
    status = highs.getModelStatus()
    kinds = highspy.HighsModelStatus
    if status in (kinds.kInfeasible, kinds.kUnboundedOrInfeasible, kinds.kObjectiveBound):
        return None
    if status != kinds.kOptimal:
        raise IntakeError(f"The mix could not be worked out: {highs.modelStatusToString(status)}.")
    values = tuple(float(v) for v in highs.getSolution().col_value)
    return Optimum(cost=float(highs.getObjectiveValue()), values=values)
