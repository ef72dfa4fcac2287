import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from intake.errors import BadInput
from intake.handbook import Handbook
from intake.spread import mean_of
from intake.table.charge.forecast import MOST_ARRIVALS, MixShare, after, arrivals_of, arrivals_until, fan
from intake.table.charge.target import ChargeSpec, charge_plan
from intake.table.kinds import KindId
from intake.table.resins import ResinId
from intake.table.yields.shred import YieldModel

BOOK = Handbook()
MODEL = YieldModel(BOOK.kinds, BOOK.losses, "granulator")
PLAN = charge_plan(ChargeSpec(id="a", resin=ResinId("PE-HD"), cavity_cm3=1000.0), BOOK.charge)


def mix(**shares: float) -> list[MixShare]:
    return [MixShare(kind=BOOK.kinds.rows[KindId(k.replace("_", "-"))], share=p) for k, p in shares.items()]


@pytest.mark.parametrize(
    "shares",
    [{}, {"jug": 0.0}, {"jug": -0.1}, {"jug": 1.2}, {"jug": 0.7, "crate": 0.5}, {"jug": float("nan")}],
)
def test_shares_that_are_no_probabilities_are_refused(shares) -> None:
    with pytest.raises(BadInput, match="Mix of arrivals"):
        arrivals_of(MODEL, mix(**shares))


@pytest.mark.parametrize("count", [-1, MOST_ARRIVALS + 1])
def test_arrivals_beyond_any_table_are_refused(count) -> None:
    with pytest.raises(BadInput, match="Arrivals"):
        fan(PLAN, 0.0, arrivals_of(MODEL, mix(jug=1.0)), [count])


def test_nothing_to_come_changes_nothing() -> None:
    assert mean_of(after(500.0, arrivals_of(MODEL, mix(jug=0.5)), 0)) == 500.0


def test_what_is_enough_needs_no_arrivals() -> None:
    assert arrivals_until(PLAN, 5000.0, arrivals_of(MODEL, mix(jug=0.5))) == 0


def test_specks_never_fill_a_great_mould() -> None:
    great = charge_plan(ChargeSpec(id="b", resin=ResinId("PE-HD"), cavity_cm3=999_999.0), BOOK.charge)
    assert arrivals_until(great, 0.0, arrivals_of(MODEL, mix(bottle_cap=0.001))) is None


@settings(max_examples=25)
@given(share=st.floats(0.05, 1.0), counts=st.lists(st.integers(0, 500), min_size=2, max_size=6))
def test_percentiles_are_in_order_and_the_middle_rises(share, counts) -> None:
    points = fan(PLAN, 0.0, arrivals_of(MODEL, mix(jug=share)), sorted(counts))
    for point in points:
        assert 0.0 <= point.p5 <= point.p25 <= point.p50 <= point.p75 <= point.p95
        assert 0.0 <= point.probability_met <= 1.0
    assert [p.p50 for p in points] == sorted(p.p50 for p in points)
