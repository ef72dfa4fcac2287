import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from intake.errors import BadInput
from intake.table.bins.flow import melt_flow_log_additive

RATES = st.floats(0.01, 100)


@pytest.mark.parametrize(
    ("parts", "rate", "within"),
    [
        pytest.param(
            [(50, 1.0), (50, 2.0)], 1.4145, 5e-4, id="S29 worked example, printed with rounded logs"
        ),
        pytest.param([(1, 1.0), (1, 2.0)], math.sqrt(2.0), 1e-12, id="S29 worked example, exact"),
        pytest.param([(70, 0.3), (30, 20.0)], 1.058, 5e-4, id="constructed, resins_checks 5.5"),
    ],
)
def test_a_blend_flows_as_the_worked_example(parts, rate, within) -> None:
    assert melt_flow_log_additive(parts) == pytest.approx(rate, abs=within)


@given(first=RATES, second=RATES, share=st.floats(0, 1))
def test_a_blend_flows_no_better_and_no_worse_than_its_parts(first, second, share) -> None:
    rate = melt_flow_log_additive([(share, first), (1 - share, second)])
    assert min(first, second) * (1 - 1e-9) <= rate <= max(first, second) * (1 + 1e-9)


@pytest.mark.parametrize(
    "parts", [[], [(0, 1)], [(-1, 1), (2, 1)], [(1, 0)], [(1, math.nan)], [(math.inf, 1)]]
)
def test_a_blend_without_mass_or_flow_is_refused(parts) -> None:
    with pytest.raises(BadInput, match="flow rates above 0"):
        melt_flow_log_additive(parts)
