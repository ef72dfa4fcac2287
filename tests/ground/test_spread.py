"""The face over `uncertainties`: correlation kept, percentiles right."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from intake.spread import Z90, certain, chance_at_least, doubtful, interval, mean_of, of_three, sd_of


def test_twenty_pieces_of_one_guess_do_not_average_out() -> None:
    guess = doubtful(60.0, 6.0)
    together = sum(guess for _ in range(20))
    apart = sum(doubtful(60.0, 6.0) for _ in range(20))
    assert sd_of(together) == pytest.approx(120.0)
    assert sd_of(apart) == pytest.approx(6.0 * 20**0.5)


def test_percentiles_against_numpy() -> None:
    draws = np.random.default_rng(7).normal(100.0, 5.0, 400_000)
    got = interval(doubtful(100.0, 5.0))
    assert got.low == pytest.approx(np.percentile(draws, 5), abs=0.05)
    assert got.high == pytest.approx(np.percentile(draws, 95), abs=0.05)


def test_three_points_give_mean_and_sd_of_their_own_normal() -> None:
    # for a normal with P10, P50, P90 the rule must give back mean and, within 1.5 %, sd (Swanson's 30-40-30)
    got = of_three(100 - 1.2815516 * 5, 100, 100 + 1.2815516 * 5)
    assert mean_of(got) == pytest.approx(100)
    assert sd_of(got) == pytest.approx(5, rel=0.015)


@given(mean=st.floats(0, 1e5), sd=st.floats(0, 1e4))
def test_an_interval_is_ordered_and_never_below_nothing(mean: float, sd: float) -> None:
    got = interval(doubtful(mean, sd))
    assert 0 <= got.low <= got.mean <= got.high
    assert got.high - got.mean == pytest.approx(Z90 * sd, rel=1e-9, abs=1e-9)


def test_a_certain_amount_has_no_width() -> None:
    got = interval(certain(3.5))
    assert (got.low, got.mean, got.high) == (3.5, 3.5, 3.5)
    assert (mean_of(4.0), sd_of(4.0)) == (4.0, 0.0)


@pytest.mark.parametrize(
    ("amount", "wanted", "chance"), [(10.0, 9.0, 1.0), (9.0, 10.0, 0.0), (10.0, 10.0, 1.0)]
)
def test_without_doubt_the_chance_is_all_or_nothing(amount: float, wanted: float, chance: float) -> None:
    assert chance_at_least(certain(amount), certain(wanted)) == chance


def test_what_is_shared_by_both_sides_does_not_count() -> None:
    shared = doubtful(0.0, 50.0)
    assert chance_at_least(100.0 + shared, 99.0 + shared) == 1.0
    assert chance_at_least(doubtful(100.0, 3.0), 100.0) == pytest.approx(0.5)
