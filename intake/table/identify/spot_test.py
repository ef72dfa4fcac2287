"""A spot test: how many of many like pieces to test, and what it shows when so many were tested.

Pieces are drawn at random and not put back, so the number of foreign ones among them is hypergeometric:
P(X = x) = C(K, x) C(N - K, n - x) / C(N, n) with K foreign ones among N, of which n are tested. It is taken for
granted that the test tells a foreign piece from a good one; a test that misses some needs more pieces.
"""

from fractions import Fraction
from math import comb, floor, isfinite

from intake.errors import BadInput

MOST = 10_000
"""Pieces in one crate: more than that is not counted by hand."""
_CLOSE = 1e-9


def pieces_to_test(count: int, sure: float, share: float) -> int:
    """How many pieces to test, all of which must prove good, before the rest is taken as good.

    Args:
        count: pieces in the crate, 1..10,000.
        sure: [-] how certain it has to be, above 0 and below 1, such as 0.95.
        share: [-] foreign share that does no harm, 0..1 without 1; 0: none at all.

    Returns:
        The fewest n for which a crate with more than `share` foreign pieces passes n tests with a probability of
        1 - sure or less. With a share of 0 and a high certainty that is nearly all of them.

    Raises:
        BadInput: a value out of its range.

    Source: hypergeometric sampling with acceptance number 0.
    """
    _check(count, sure)
    if not (isfinite(share) and 0.0 <= share < 1.0):
        raise BadInput(
            where="Foreign share", got=share, expected="a share from 0 % to below 100 %, such as 5 %"
        )
    too_many = floor(share * count + _CLOSE) + 1
    passes = 1.0
    for tested in range(count):
        passes *= max(count - too_many - tested, 0) / (count - tested)
        if passes <= 1.0 - sure + _CLOSE:
            return tested + 1
    return count


def most_foreign(count: int, tested: int, odd: int, sure: float) -> int:
    """How many pieces of the whole crate may be foreign at most, after a spot test; the odd ones are counted.

    Args:
        count: pieces in the crate, 1..10,000.
        tested: pieces that were tested, picked at random, 1..count.
        odd: how many of these were foreign, 0..tested.
        sure: [-] certainty of the answer, above 0 and below 1.

    Returns:
        The largest K whose chance of showing `odd` or fewer is above 1 - sure (one-sided bound).

    Raises:
        BadInput: a value out of its range.

    Source: one-sided exact bound of the hypergeometric distribution, as Clopper and Pearson do for the binomial
    (1934, from memory).
    """
    _check(count, sure)
    if not 1 <= tested <= count:
        raise BadInput(where="Tested pieces", got=tested, expected=f"1 to {count}: what the crate holds")
    if not 0 <= odd <= tested:
        raise BadInput(where="Odd pieces", got=odd, expected=f"0 to {tested}: what was tested")
    low, high = odd, count - tested + odd
    while low < high:  # the chance falls as the crate gets worse
        middle = (low + high + 1) // 2
        if _chance_of_up_to(odd, count, middle, tested) > 1.0 - sure + _CLOSE:
            low = middle
        else:
            high = middle - 1
    return low


def _chance_of_up_to(odd: int, count: int, foreign: int, tested: int) -> float:
    """[-] Chance that at most `odd` of the tested pieces are foreign, exact in whole numbers."""
    ways = sum(comb(foreign, x) * comb(count - foreign, tested - x) for x in range(odd + 1))
    return float(Fraction(ways, comb(count, tested)))


def _check(count: int, sure: float) -> None:
    if not 1 <= count <= MOST:
        raise BadInput(where="Pieces", got=count, expected=f"a whole number from 1 to {MOST}")
    if not (isfinite(sure) and 0.0 < sure < 1.0):
        raise BadInput(where="Certainty", got=sure, expected="above 0 % and below 100 %, such as 95 %")
