"""A finished part is told once and corrects the next charge; it is kept when it is sure, and it can be undone."""

from pathlib import Path

import pytest

from intake.desk.campaign import campaign_of
from intake.desk.desk import Desk
from intake.desk.finish_part import finish_part, undo_last_part
from intake.errors import BadInput, Refusal
from intake.spread import mean_of


def test_a_part_is_counted_undone_and_read_back(desk: Desk, tmp_path: Path, handbook) -> None:
    before = mean_of(desk.tools.plans["slat"].charge_g)
    done = finish_part(desk, "slat", side_mm=294.0, mould_mm=300.0, by="AL")
    after = mean_of(desk.tools.plans["slat"].charge_g)
    assert after == pytest.approx(done.charge_g.mean)
    assert after > before
    desk.close()
    with Desk.open(tmp_path / "ledger", handbook) as again:
        assert mean_of(again.tools.plans["slat"].charge_g) == pytest.approx(after)
        undo_last_part(again, "slat")
        assert mean_of(again.tools.plans["slat"].charge_g) == pytest.approx(before)
        with pytest.raises(BadInput, match="a part was told"):
            undo_last_part(again, "slat")


def test_a_part_that_is_sure_and_far_off_is_kept_and_teaches_nothing(desk: Desk) -> None:
    before = mean_of(desk.tools.plans["slat"].charge_g)
    with pytest.raises(Refusal, match="far from what was expected"):
        finish_part(desk, "slat", mass_g=8600.0)
    assert not desk.state.finished
    finish_part(desk, "slat", mass_g=8600.0, sure=True)
    assert len(desk.state.finished) == 1
    assert mean_of(desk.tools.plans["slat"].charge_g) == before


def test_an_unpressed_mould_teaches_nothing(tmp_path: Path, handbook) -> None:
    charge = {"id": "slat", "resin": "PE-HD", "cavity": "1 L", "pressed": False}
    campaign = campaign_of({"name": "x", "letters": "QT", "charge": [charge]}, handbook, where="t")
    with Desk.open(tmp_path / "l", handbook, campaign) as desk:
        with pytest.raises(Refusal, match="not pressed"):
            finish_part(desk, "slat", mass_g=860.0)
        assert not desk.state.finished
