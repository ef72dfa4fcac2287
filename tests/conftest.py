"""Fixtures that the whole suite shares."""

import pytest

from intake.handbook import Handbook
from intake.handbook.locate import resources
from intake.words import Words, catalogue


@pytest.fixture(scope="session")
def handbook() -> Handbook:
    """The real handbook, read once."""
    return Handbook()


@pytest.fixture(scope="session")
def words() -> Words:
    """The English catalogue."""
    return catalogue(resources() / "words", "en")
