"""A ledger in which everything happened, and its exports."""

from pathlib import Path

import pytest
from ledger_story import EVERY_KIND, a_day, create

from intake.desk.exchange import Format, export


@pytest.fixture(scope="session")
def full_ledger(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """One event of every kind, among them a lot, and a day of forty events."""
    folder = tmp_path_factory.mktemp("full") / "ledger"
    with create(folder) as ledger:
        for body in EVERY_KIND:
            ledger.append([body])
        a_day(ledger, 40, letters="x")
    return folder


@pytest.fixture(scope="session")
def exports(full_ledger: Path, tmp_path_factory: pytest.TempPathFactory, handbook) -> dict[Format, Path]:
    """The same ledger exported in each format; tests copy before they change anything."""
    base = tmp_path_factory.mktemp("exports")
    for form in Format:
        export(full_ledger, base / form, handbook, form)
    return {form: base / form for form in Format}
