import pytest

from intake.table.bins.colour import GroupId
from intake.table.bins.key import bin_key
from intake.table.kinds import Flow
from intake.table.resins import ResinId


def key(colour="blue", filled=0.0, **rule):
    return bin_key(ResinId("PE-HD"), GroupId(colour), Flow.BLOW, filled, **rule)


@pytest.mark.parametrize(("probability", "filled"), [(0.0, False), (0.5, False), (0.51, True), (1.0, True)])
def test_a_piece_counts_as_filled_where_that_is_the_likelier(probability: float, filled: bool) -> None:
    assert key(filled=probability).filled is filled


def test_colours_share_a_bin_only_where_the_campaign_says_so() -> None:
    assert key("blue") != key("white")
    assert key("blue", colours_apart=False) == key("white", colours_apart=False)
