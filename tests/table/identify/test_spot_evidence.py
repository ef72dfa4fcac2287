"""A crate is entered as one row: what holds for one piece holds for the others as far as a spot test says so."""

import pytest

from intake.errors import BadInput
from intake.handbook import Handbook
from intake.table.identify.evidence import FloatTest, Mark, Outcome, SpotTest
from intake.table.identify.posterior import foreign_share, judge

BOOK = Handbook()
SEEN = (Mark(text="2 HDPE"), FloatTest(bath="water", bath_g_cm3=0.998, outcome=Outcome.FLOATS))


def odds(*evidence, kind="tub"):
    return judge(BOOK.kinds.get(kind), evidence, BOOK.identify).probabilities


@pytest.mark.parametrize(("tested", "odd", "share"), [(1, 0, 1 / 3), (59, 0, 1 / 61), (8, 2, 3 / 10)])
def test_the_share_that_nobody_tested_goes_by_the_rule_of_succession(tested, odd, share):
    # Laplace's rule of succession, worked by hand: (odd + 1) / (tested + 2)
    assert foreign_share(SpotTest(tested=tested, odd=odd)) == pytest.approx(share)


def test_other_plastic_in_the_crate_is_what_such_things_usually_are():
    alone, usual, share = odds(*SEEN), odds(), 1 / 61
    spotted = odds(*SEEN, SpotTest(tested=59))
    assert sum(spotted.values()) == pytest.approx(1.0)
    for resin, chance in spotted.items():
        assert chance == pytest.approx((1 - share) * alone[resin] + share * usual[resin])


def test_more_tested_pieces_leave_less_doubt_and_odd_ones_more():
    clean = [odds(*SEEN, SpotTest(tested=n))["PE-HD"] for n in (2, 10, 59, 300)]
    assert clean == sorted(clean)
    assert odds(*SEEN, SpotTest(tested=59, odd=5))["PE-HD"] < clean[2]
    assert clean[-1] < odds(*SEEN)["PE-HD"]


def test_the_order_of_the_evidence_does_not_matter():
    spot = SpotTest(tested=12)
    first, last = odds(spot, *SEEN), odds(*SEEN, spot)
    assert first == pytest.approx(last)


@pytest.mark.parametrize(("tested", "odd"), [(0, 0), (3, 4), (3, -1), (-1, 0)])
def test_what_cannot_be_a_spot_test_is_refused(tested, odd):
    with pytest.raises(BadInput, match="odd pieces of tested ones"):
        SpotTest(tested=tested, odd=odd)
