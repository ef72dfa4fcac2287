"""Spot tests against scipy's hypergeometric distribution, by trying every number of pieces."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from intake.errors import BadInput
from intake.table.identify.spot_test import most_foreign, pieces_to_test

EDGE = 1e-9
"""scipy's own rounding: a probability this close to the limit may fall on either side."""


def passes(count: int, foreign: int, tested: int) -> float:
    """Chance that no tested piece is foreign, by scipy.stats.hypergeom."""
    return float(stats.hypergeom.pmf(0, count, foreign, tested))


@pytest.mark.parametrize(
    ("count", "sure", "share", "expected"),
    [
        # by hand: one foreign piece of two is seen with 1/2 by one test; both must be tested for more
        pytest.param(2, 0.5, 0.0, 1, id="by hand, one of two"),
        pytest.param(2, 0.9, 0.0, 2, id="by hand, both of two"),
        pytest.param(10, 0.95, 0.0, 10, id="by hand, one foreign of ten is seen with n/10"),
        pytest.param(1, 0.5, 0.5, 1, id="by hand, one piece"),
        # without replacement and 6 foreign of 100: C(94,n)/C(100,n) falls to 0.05 between 38 and 39
        pytest.param(100, 0.95, 0.05, 39, id="scipy.stats.hypergeom, 100 pieces"),
    ],
)
def test_worked_examples(count, sure, share, expected) -> None:
    assert pieces_to_test(count, sure, share) == expected


@pytest.mark.parametrize("share", [0.01, 0.05, 0.1, 0.3])
@pytest.mark.parametrize("sure", [0.5, 0.9, 0.95, 0.99])
def test_large_crates_come_to_the_rule_without_a_crate(sure, share) -> None:
    # limit of many pieces: binomial, n = ln(1 - sure) / ln(1 - share)
    binomial = math.ceil(math.log(1 - sure) / math.log(1 - share))
    assert 0.85 * binomial - 1 <= pieces_to_test(10_000, sure, share) <= binomial


@settings(max_examples=60, deadline=None)
@given(count=st.integers(1, 300), sure=st.floats(0.05, 0.999), percent=st.integers(0, 99))
def test_it_is_the_fewest_that_scipy_finds(count, sure, percent) -> None:
    share = percent / 100
    foreign = (percent * count) // 100 + 1
    found = pieces_to_test(count, sure, share)
    assert passes(count, foreign, found) <= 1 - sure + EDGE
    assert found == 1 or passes(count, foreign, found - 1) > 1 - sure - EDGE


@settings(max_examples=60, deadline=None)
@given(data=st.data(), count=st.integers(1, 200), sure=st.floats(0.05, 0.999))
def test_the_bound_is_the_largest_that_scipy_still_believes(data, count, sure) -> None:
    tested = data.draw(st.integers(1, count))
    odd = data.draw(st.integers(0, tested))
    most = most_foreign(count, tested, odd, sure)
    ks = range(odd, count - tested + odd + 1)
    believed = [k for k in ks if stats.hypergeom.cdf(odd, count, k, tested) > 1 - sure + 2 * EDGE]
    surely_not = [k for k in ks if stats.hypergeom.cdf(odd, count, k, tested) < 1 - sure]
    assert most >= max(believed, default=odd)
    assert not surely_not or most < min(surely_not)


@settings(max_examples=40, deadline=None)
@given(count=st.integers(2, 500), sure=st.floats(0.5, 0.99), percent=st.integers(0, 50))
def test_as_many_as_it_asks_for_prove_what_was_wanted(count, sure, percent) -> None:
    needed = pieces_to_test(count, sure, percent / 100)
    assert most_foreign(count, needed, 0, sure) <= percent * count // 100


@pytest.mark.parametrize(
    ("count", "sure", "share"),
    [(0, 0.9, 0.1), (10_001, 0.9, 0.1), (5, 0.0, 0.1), (5, 1.0, 0.1), (5, math.nan, 0.1), (5, 0.9, 1.0),
     (5, 0.9, -0.1), (5, 0.9, math.inf)],
)  # fmt: skip
def test_what_cannot_be_is_refused(count, sure, share) -> None:
    with pytest.raises(BadInput):
        pieces_to_test(count, sure, share)
