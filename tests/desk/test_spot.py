"""A crate from the sheet and by hand: its spot test is recorded, doubted, told and exported."""

import pytest
from desk.conftest import SortText

from intake.desk.desk import Desk
from intake.desk.observe import add_test
from intake.desk.receive import receive
from intake.errors import BadInput, ManyFaults
from intake.handbook import Handbook
from intake.table.identify.evidence import SpotTest
from intake.words import Words

SHEET = """item,kind,count,mark,tests
crate,tub,200,2 HDPE,float:water=floats;spot=1/59
plain,tub,200,2 HDPE,float:water=floats
"""


def test_a_crate_of_the_sheet_is_less_sure_than_the_same_without_other_pieces(
    sort_text: SortText, handbook: Handbook
) -> None:
    with Desk.read(sort_text(SHEET).ledger, handbook) as desk:
        crate, plain = (desk.numbers(name) for name in ("crate", "plain"))
        assert crate.state.evidence[-1] == SpotTest(tested=59, odd=1)
        assert crate.odds.probabilities["PE-HD"] < plain.odds.probabilities["PE-HD"]


@pytest.mark.parametrize(
    ("cell", "says"), [("0", "0/59"), ("a/b", "0/59"), ("3/2", "0/59"), ("0/400", "at most the 200 pieces")]
)
def test_a_spot_test_that_cannot_be_is_told_with_its_row(sort_text: SortText, cell: str, says: str) -> None:
    with pytest.raises(ManyFaults, match=says):
        sort_text(f"item,kind,count,mark,tests\ncrate,tub,200,2 HDPE,spot={cell}\n")


def test_by_hand_no_more_pieces_are_tested_than_there_are(desk: Desk, words: Words) -> None:
    item = receive(desk, "tub", 20, colour="white")
    with pytest.raises(BadInput, match="at most the 21 pieces"):
        add_test(desk, item, "spot", "1/40")
    add_test(desk, item, "spot", "0/12")
    assert desk.state.items[item].evidence == (SpotTest(tested=12),)
