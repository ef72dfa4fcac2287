"""After five weighed bins the 90 % interval is honest and the error is smaller: simulated towns, numpy's chance.

The band that is wanted is 85 to 95 %. So few campaigns cannot tell a share closer than a few per cent, so
three standard errors of the binomial are allowed. `tests/bench/coverage.py` plays as many as one likes;
2,000 gave 91.4 % where the masses are right, 85.8 % where each kind is 15 % off either way, 91.2 % where
all are 15 % too high, and 86.1 % where all are 15 % too low.
"""

import math
from functools import cache

import pytest
from simulated_learning import coverage, off_alike, off_each

CAMPAIGNS = 100
LOW, HIGH = 0.85, 0.95
TABLES = {
    "masses right": off_alike(1.0),
    "each kind 15 % low or high": off_each,
    "all kinds 15 % high": off_alike(1.15),
    "all kinds 15 % low": off_alike(0.85),
}


@cache
def covered(book, name):
    """Each table's campaigns are played once."""
    return coverage(book, TABLES[name], CAMPAIGNS, seed=5)


def allowed(share):
    """Three standard errors of a share among so many campaigns."""
    return 3.0 * math.sqrt(share * (1.0 - share) / CAMPAIGNS)


@pytest.mark.parametrize("name", TABLES)
def test_five_bins_leave_an_honest_interval(handbook, name) -> None:
    found = covered(handbook, name)
    assert LOW - allowed(LOW) <= found.after <= HIGH + allowed(HIGH), found


@pytest.mark.parametrize("name", TABLES)
def test_five_bins_make_the_error_smaller(handbook, name) -> None:
    found = covered(handbook, name)
    assert found.error_after < 0.9 * found.error_before, found
