"""What a molten spoonful says of a lot."""

from itertools import product

import pytest

from intake.table.bins.melt_test import Bend, MeltTest, Peel, Smell, Specks, melt_verdict
from intake.table.compat.decision import Verdict

ALL = [MeltTest(smell=a, specks=b, peel=c, bend=d) for a, b, c, d in product(Smell, Specks, Peel, Bend)]


@pytest.mark.parametrize("seen", ALL, ids=lambda t: f"{t.smell}-{t.specks}-{t.peel}-{t.bend}")
def test_a_sharp_smell_or_peeling_refuses_and_unmelted_bits_or_a_snap_hold(seen: MeltTest) -> None:
    # common practice, no source
    verdict, reasons = melt_verdict(seen)
    refused = seen.smell is Smell.SHARP or seen.peel is Peel.YES
    held = seen.specks is Specks.MANY or seen.bend is Bend.SNAPS
    assert verdict is (Verdict.REFUSE if refused else Verdict.HOLD if held else Verdict.ACCEPT)
    assert reasons
