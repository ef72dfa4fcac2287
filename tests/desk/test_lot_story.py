"""Days of acts in any order: whatever is done and undone, no item lies twice, no mass is lost or below nothing."""

import tempfile
from contextlib import suppress
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from lot_desk import fill

from intake.desk.bin_life import merge_bins, shelf, split_bin, write_off_bin
from intake.desk.campaign import campaign_of
from intake.desk.desk import Desk
from intake.desk.draw import draw, weigh_again, write_off_lot
from intake.desk.float_shred import float_shred
from intake.desk.place import take_back
from intake.desk.regroup import regroup
from intake.desk.report import report
from intake.desk.shred import outlook, shred
from intake.desk.undo import undo_last, undo_last_of_bin, undo_last_of_lot
from intake.errors import IntakeError
from intake.handbook import Handbook
from intake.ledger import fold
from intake.ledger.checks import state_findings

PLAIN = {
    "name": "x", "letters": "QT", "bins": {"capacity": "20 L"},
    "charge": [{"id": "slat", "resin": "PE-HD", "cavity": "1 L"}],
}  # fmt: skip

ACTS = st.tuples(
    st.sampled_from(
        ["fill", "fill", "fill", "shred", "shred", "draw", "float", "again", "off", "off_bin", "split", "merge",
         "regroup", "back", "undo_item", "undo_lot", "undo_bin"]
    ),
    st.integers(0, 5), st.floats(0.05, 1.3),
)  # fmt: skip


def nth(names: Any, place: int) -> str:
    """One of the names, or one that nobody has."""
    found = list(names)
    return found[place % len(found)] if found else "QT-99"


def do(desk: Desk, what: str, place: int, part: float) -> None:
    """One act; what it refuses is part of the story."""
    state = desk.state
    bin_id, lot_id, item = nth(state.bins, place), nth(state.lots, place), nth(state.items, place)
    left_g = state.lots[lot_id].left_g if lot_id in state.lots else 10.0
    acts: dict[str, Any] = {
        "fill": lambda: fill(desk, [None if place == 0 else 60.0 * part]),
        "shred": lambda: shred(desk, bin_id, part * outlook(desk, bin_id).expected.mean, sure=True),
        "draw": lambda: draw(desk, lot_id, "slat", part * left_g),
        "float": lambda: float_shred(desk, lot_id, 0.2 * part * left_g),
        "again": lambda: weigh_again(desk, lot_id, part * left_g),
        "off": lambda: write_off_lot(desk, lot_id, "spilled", mass_g=part * left_g),
        "off_bin": lambda: write_off_bin(desk, bin_id, "wet"),
        "split": lambda: split_bin(
            desk, bin_id, state.bins[bin_id].items[:1] if bin_id in state.bins else []
        ),
        "merge": lambda: merge_bins(desk, bin_id, nth(state.bins, place + 1)),
        "regroup": lambda: regroup(desk),
        "back": lambda: take_back(desk, item),
        "undo_item": lambda: undo_last(desk, item),
        "undo_lot": lambda: undo_last_of_lot(desk, lot_id),
        "undo_bin": lambda: undo_last_of_bin(desk, bin_id),
    }
    with suppress(IntakeError):
        acts[what]()


@settings(max_examples=20, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(story=st.lists(ACTS, min_size=4, max_size=14))
def test_whatever_happens_the_books_are_right(
    handbook: Handbook, story: list[tuple[str, int, float]]
) -> None:
    with tempfile.TemporaryDirectory() as folder:
        campaign = campaign_of(PLAIN, handbook, where="t")
        with Desk.open(Path(folder) / "l", handbook, campaign) as desk:
            for what, place, part in story:
                do(desk, what, place, part)
            told = report(desk)
            state, events = desk.state, list(desk.ledger.events())
            shelved = shelf(desk)
        with Desk.open(Path(folder) / "l", handbook) as again:
            assert report(again) == told
    assert state_findings(state) == ()
    assert fold(reversed(events)) == state
    balance = told.balance
    parts = (
        balance.shred_g,
        balance.process_loss_g,
        balance.not_yet_shredded_g or 0.0,
        balance.unexplained_g,
    )
    assert sum(parts) == pytest.approx(balance.accepted_g, abs=1e-4)
    assert balance.gap_g == pytest.approx(0.0, abs=1e-4)
    assert all(lot.left_g >= 0.0 for lot in state.lots.values())
    assert all(line.mass_g >= 0.0 and line.volume_l >= 0.0 for line in shelved)
