"""Fixtures that the whole suite shares."""

import pytest
from hypothesis import settings

from intake.handbook import Handbook
from intake.handbook.locate import resources
from intake.words import Words, catalogue

settings.register_profile("table", deadline=None)  # a loaded machine is no bug
settings.load_profile("table")


@pytest.fixture(scope="session")
def handbook() -> Handbook:
    """The real handbook, read once."""
    return Handbook()


@pytest.fixture(scope="session")
def words() -> Words:
    """The English catalogue."""
    return catalogue(resources() / "words", "en")
