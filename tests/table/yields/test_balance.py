"""received = accepted net + held + refused + removed; accepted net = shred + loss + waiting + unexplained."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from intake.errors import BadInput
from intake.spread import mean_of
from intake.table.compat.decision import Verdict
from intake.table.item import Closure, Item, Label, Residue, Weighing
from intake.table.yields.balance import Balance, balance_of
from intake.table.yields.shred import REMOVED, YieldModel

GRAMS = st.floats(0.0, 1e6, allow_nan=False)


def balance(**changed):
    parts = {
        "received_g": 1000.0,
        "accepted_g": 800.0,
        "held_g": 100.0,
        "refused_g": 60.0,
        "removed": {"label": 40.0},
    }
    return Balance(**parts | changed)


def test_a_balance_that_adds_up_has_no_findings():
    assert balance().close() == ()


@pytest.mark.parametrize("part", ["received_g", "accepted_g", "held_g", "refused_g"])
@pytest.mark.parametrize("more_g", [0.001, 1.0, 62.5])
def test_a_gram_too_many_anywhere_is_found(part, more_g):
    findings = balance(**{part: getattr(balance(), part) + more_g}).close()
    assert [f.where for f in findings] == ["Mass balance"]


@settings(max_examples=200, deadline=None)
@given(accepted=GRAMS, held=GRAMS, refused=GRAMS, off=st.lists(GRAMS, min_size=5, max_size=5))
def test_any_parts_close_with_their_own_sum(accepted, held, refused, off):
    received = math.fsum([accepted, held, refused, *off])
    whole = Balance(
        received_g=received, accepted_g=accepted, held_g=held, refused_g=refused,
        removed=dict(zip(REMOVED, off, strict=True)),
    )  # fmt: skip
    assert whole.close() == ()
    assert abs(whole.gap_g) <= 9e-6


@settings(max_examples=100, deadline=None)
@given(accepted=GRAMS, shred=GRAMS, loss=GRAMS, waiting=st.one_of(st.none(), GRAMS))
def test_the_second_line_holds_exactly(accepted, shred, loss, waiting):
    one = Balance(
        received_g=accepted, accepted_g=accepted, held_g=0.0, refused_g=0.0, removed={}, shred_g=shred,
        process_loss_g=loss, not_yet_shredded_g=waiting,
    )  # fmt: skip
    parts = [one.shred_g, one.process_loss_g, one.not_yet_shredded_g, one.unexplained_g]
    assert sum(round(p * 1e6) for p in parts) == round(one.accepted_g * 1e6)


@pytest.mark.parametrize(
    ("explainable_g", "flagged"), [(0.0, True), (4.9, True), (5.0, False), (50.0, False)]
)
def test_the_unexplained_is_flagged_beyond_the_scale(explainable_g, flagged):
    one = balance(shred_g=700.0, process_loss_g=15.0, not_yet_shredded_g=80.0, explainable_g=explainable_g)
    assert one.unexplained_g == pytest.approx(5.0)
    assert bool(one.close()) is flagged


def test_more_shred_than_went_in_is_unexplained_and_below_nothing():
    one = balance(shred_g=900.0)
    assert one.unexplained_g == pytest.approx(-100.0)
    assert one.not_yet_shredded_g == 0.0
    assert one.close()


@pytest.mark.parametrize("bad", [-0.1, math.nan, math.inf])
@pytest.mark.parametrize("part", ["received_g", "held_g", "shred_g", "explainable_g"])
def test_a_mass_that_cannot_be_is_refused(part, bad):
    with pytest.raises(BadInput, match="0 g or more"):
        balance(**{part: bad})


def test_tenths_that_floats_cannot_hold_still_add_exactly():
    tenths = Balance(received_g=0.3, accepted_g=0.1, held_g=0.2, refused_g=0.0, removed={})
    assert 0.1 + 0.2 != 0.3
    assert tenths.gap_g == 0.0


@pytest.fixture(scope="module")
def sorted_rows(handbook):
    model = YieldModel(handbook.kinds, handbook.losses)
    kinds, verdicts = list(handbook.kinds.rows.values()), list(Verdict)
    rows = []
    for number in range(3000):
        kind = kinds[number % len(kinds)]
        item = Item(
            kind=kind, count=1 + number % 7, closure=list(Closure)[number % 3], label=list(Label)[number % 4],
            residue=list(Residue)[number % 6], weighed=(None, *Weighing)[number % 3],
            gross_g=(1 + number % 7) * kind.body_g.high * 1.3,
        )  # fmt: skip
        rows.append((verdicts[number % 3 if number % 11 else 0], model.item_yield(item)))
    return rows


def test_three_thousand_sorted_rows_close(sorted_rows):
    whole = balance_of(sorted_rows)
    assert whole.close() == ()
    assert whole.gap_g == 0.0
    assert whole.received_g == pytest.approx(math.fsum(mean_of(r.received_g) for _, r in sorted_rows))


@pytest.mark.parametrize(("verdict", "part"), [(Verdict.HOLD, "held_g"), (Verdict.REFUSE, "refused_g")])
def test_what_is_not_accepted_counts_as_it_came(sorted_rows, verdict, part):
    came = math.fsum(mean_of(r.received_g) for v, r in sorted_rows if v is verdict)
    assert getattr(balance_of(sorted_rows), part) == pytest.approx(came)


def test_accepted_net_mass_is_the_sum_of_net_masses(sorted_rows):
    net = math.fsum(mean_of(r.net_g) for v, r in sorted_rows if v is Verdict.ACCEPT)
    assert balance_of(sorted_rows).accepted_g == pytest.approx(net, abs=0.01)


def test_nothing_received_is_a_balance_too():
    assert balance_of([]).close() == ()
