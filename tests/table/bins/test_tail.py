import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.special import gammaincc
from scipy.stats import norm, pearson3

from intake.table.bins.tail import chance_above, quantile, upper_gamma_share


@given(x=st.floats(1e-6, 500), shape=st.floats(1e-4, 400))
def test_the_gamma_tail_equals_scipy(x: float, shape: float) -> None:
    assert upper_gamma_share(x, shape) == pytest.approx(gammaincc(shape, x), abs=1e-9)


@pytest.mark.parametrize("skewness", [-3.0, -0.5, 0.03, 0.5, 2.0, 6.0])
@pytest.mark.parametrize("limit", [-1.5, 0.0, 0.7, 3.0])
def test_the_skewed_tail_equals_the_pearson_iii_of_scipy(limit: float, skewness: float) -> None:
    found = chance_above(limit, mean=0.0, variance=1.0, third=skewness)
    assert found == pytest.approx(pearson3.sf(limit, skewness), abs=1e-6)


@pytest.mark.parametrize("skewness", [-2.0, -0.3, 0.0, 0.4, 1.0, 4.0])
@pytest.mark.parametrize("share", [0.05, 0.25, 0.5, 0.75, 0.95])
def test_percentiles_equal_the_pearson_iii_of_scipy(share: float, skewness: float) -> None:
    found = quantile(share, mean=10.0, variance=4.0, third=8.0 * skewness)
    assert found == pytest.approx(pearson3.ppf(share, skewness, loc=10.0, scale=2.0), abs=1e-6)


def test_a_known_amount_is_its_own_percentile() -> None:
    assert quantile(0.05, mean=3.0, variance=0.0, third=0.0) == 3.0


@pytest.mark.parametrize("limit", [-2.0, 0.0, 1.6448536])
def test_without_skew_it_is_the_normal_tail(limit: float) -> None:
    assert chance_above(limit, mean=0.0, variance=1.0, third=0.0) == pytest.approx(norm.sf(limit))


@pytest.mark.parametrize(("mean", "chance"), [(0.0, 0.0), (5.0, 0.0), (5.1, 1.0)])
def test_a_known_amount_is_over_or_it_is_not(mean: float, chance: float) -> None:
    assert chance_above(5.0, mean=mean, variance=0.0, third=0.0) == chance


@given(limit=st.floats(-50, 50), variance=st.floats(0, 100), third=st.floats(-1000, 1000))
def test_a_chance_is_a_chance_and_falls_with_the_limit(limit: float, variance: float, third: float) -> None:
    here = chance_above(limit, mean=0.0, variance=variance, third=third)
    assert 0.0 <= here <= 1.0
    assert chance_above(limit + 1.0, mean=0.0, variance=variance, third=third) <= here + 1e-9
    assert math.isfinite(here)
