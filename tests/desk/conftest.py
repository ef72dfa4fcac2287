"""A desk on a temporary folder, and sheets written in a line."""

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from intake.desk.campaign import Campaign, campaign_of
from intake.desk.desk import Desk
from intake.desk.sort_file import Sorted, sort_file
from intake.handbook import Handbook
from intake.words import Words

PE_HD = {"id": "slat", "resin": "PE-HD", "cavity": "1 L"}
PP = {"id": "lid", "resin": "PP", "cavity": "500 cm3"}


@pytest.fixture(scope="session")
def campaign(handbook: Handbook) -> Campaign:
    """One PE-HD charge of a litre."""
    return campaign_of({"name": "Slats", "letters": "QT", "charge": [PE_HD]}, handbook, where="test")


@pytest.fixture
def desk(tmp_path: Path, handbook: Handbook, campaign: Campaign) -> Iterator[Desk]:
    """An empty desk on a temporary folder."""
    with Desk.open(tmp_path / "ledger", handbook, campaign) as opened:
        yield opened


CAMPAIGN = 'name = "Slats"\nletters = "QT"\n[[charge]]\nid = "slat"\nresin = "PE-HD"\ncavity = "1 L"\n'

SortText = Callable[..., Sorted]


@pytest.fixture
def sort_text(tmp_path: Path, handbook: Handbook, words: Words) -> SortText:
    """Sort a sheet given as text into `out` of the temporary folder."""

    def run(
        text: str, *, out: str = "out", campaign: str = CAMPAIGN, name: str = "bag.csv", **how: object
    ) -> Sorted:
        (tmp_path / name).write_text(text, encoding="utf-8")
        (tmp_path / "slats.toml").write_text(campaign, encoding="utf-8")
        sheet, file = tmp_path / name, tmp_path / "slats.toml"
        return sort_file(sheet, file, tmp_path / out, handbook, words, **how)  # type: ignore[arg-type]

    return run
