"""A table opens with its own ledger, a new one, or the demo's; what exists is never overwritten."""

from pathlib import Path

import pytest

from intake.desk.receive import receive
from intake.desk.report import report
from intake.desk.start import open_table
from intake.errors import LedgerBusy, ManyFaults
from intake.handbook import Handbook


def test_a_new_table_starts_with_the_starter_campaign(tmp_path: Path, handbook: Handbook) -> None:
    with open_table(tmp_path / "t", handbook) as desk:
        assert desk.campaign.hosts == ("PE-HD",)
        assert report(desk).rows == 0


def test_the_demo_is_played_once(tmp_path: Path, handbook: Handbook) -> None:
    with open_table(tmp_path / "t", handbook, demo=True) as desk:
        assert report(desk).rows == 60
        receive(desk, "jug")
    with open_table(tmp_path / "t", handbook, demo=True) as again:
        assert (report(again).rows, len(again.state.items)) == (60, 61)


def test_a_campaign_given_later_holds_from_then_on(tmp_path: Path, handbook: Handbook) -> None:
    file = tmp_path / "c.toml"
    file.write_text('name = "Lids"\n[[charge]]\nid = "lid"\nresin = "PP"\ncavity = "1 L"\n', encoding="utf-8")
    open_table(tmp_path / "t", handbook).close()
    with open_table(tmp_path / "t", handbook, campaign=file) as desk:
        assert desk.campaign.hosts == ("PP",)
    with open_table(tmp_path / "t", handbook) as again:
        assert again.campaign.name == "Lids"


def test_a_faulty_campaign_leaves_no_ledger_behind(tmp_path: Path, handbook: Handbook) -> None:
    file = tmp_path / "c.toml"
    file.write_text('name = "Lids"\n', encoding="utf-8")
    with pytest.raises(ManyFaults):
        open_table(tmp_path / "t", handbook, campaign=file)
    assert not (tmp_path / "t").exists()


def test_a_second_writer_is_told_who_holds_the_table(tmp_path: Path, handbook: Handbook) -> None:
    with open_table(tmp_path / "t", handbook), pytest.raises(LedgerBusy):
        open_table(tmp_path / "t", handbook)
