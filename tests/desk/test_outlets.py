"""The outlet list: what was refused and is good plastic, how much, and where it could go."""

from pathlib import Path

import pytest
from desk.conftest import CAMPAIGN
from desk_helpers import rows_of

from intake.desk.desk import Desk
from intake.desk.outlets import by_outlet, outlet_list
from intake.handbook import Handbook

SHEET = """item,kind,count,mark,tests,colour,residue,gross,weighed
pet,beverage bottle,7,1 PET,float:water=sinks,clear,rinsed,,
pvc,blister pack,1,3 PVC,float:water=sinks,clear,clean,8 g,prepared
motor,jerrycan,1,2 HDPE,float:water=floats,natural,motor-oil,214 g,as-received
pp,margarine tub,4,5 PP,float:water=floats;crease=white_line_whole,white,clean,104 g,prepared
jug,jug,4,2 HDPE,float:water=floats,natural,clean,243 g,prepared
lid,coffee lid,5,6 PS,float:water=sinks,white,clean,20 g,prepared
"""


@pytest.fixture
def desk_of_sheet(sort_text, handbook: Handbook):
    with Desk.read(sort_text(SHEET).ledger, handbook) as desk:
        yield desk


def test_only_good_plastic_that_was_refused_is_listed(desk_of_sheet: Desk) -> None:
    assert {line.item for line in outlet_list(desk_of_sheet)} == {"pet", "pp", "lid"}


@pytest.mark.parametrize(("item", "outlet"), [("pet", "deposit-or-bottles"), ("pp", "rigid-polyolefins")])
def test_a_line_says_where_it_could_go(desk_of_sheet: Desk, item: str, outlet: str) -> None:
    line = next(x for x in outlet_list(desk_of_sheet) if x.item == item)
    assert line.outlet == outlet
    assert line.mass.mean > 0


def test_the_mass_says_whether_a_scale_was_used(desk_of_sheet: Desk) -> None:
    lines = {x.item: x for x in outlet_list(desk_of_sheet)}
    assert (lines["pet"].estimated, lines["pp"].estimated) == (True, False)
    assert lines["pp"].mass.mean == pytest.approx(104, rel=0.05)


def test_the_outlets_add_up_the_heaviest_first(desk_of_sheet: Desk) -> None:
    lines = outlet_list(desk_of_sheet)
    totals = by_outlet(lines)
    assert sum(t.mass_g for t in totals) == pytest.approx(sum(x.mass.mean for x in lines))
    assert sum(t.pieces for t in totals) == 16
    assert [t.mass_g for t in totals] == sorted((t.mass_g for t in totals), reverse=True)


def test_the_file_has_what_how_much_and_where_in_words(sort_text, tmp_path: Path) -> None:
    sort_text(SHEET)
    rows = {r["item"]: r for r in rows_of(tmp_path / "out" / "outlets.csv")}
    assert rows["pet"]["where"].startswith("Bottle collection")
    assert (rows["pet"]["count"], rows["pet"]["mass_is"]) == ("7", "estimated")
    assert all(float(r["mass_g"]) > 0 for r in rows.values())


def test_a_yellow_toy_with_old_pigments_is_not_handed_on(sort_text, handbook: Handbook) -> None:
    text = "item,kind,count,mark,tests,colour\ntoy,toy,1,7 ABS,float:water=sinks;float:1.08=floats,yellow\n"
    with Desk.read(sort_text(text).ledger, handbook) as desk:
        assert outlet_list(desk) == ()


def test_good_plastic_that_is_too_much_work_here_is_for_somebody_else(sort_text, handbook: Handbook) -> None:
    text = (
        "item,kind,count,mark,tests,colour,label,adhesive\n"
        "caps,bottle cap,3,2 HDPE,float:water=floats,blue,none,heavy\n"
        "jug,jug,4,2 HDPE,float:water=floats,natural,none,none\n"
    )
    picky = CAMPAIGN.replace("[[charge]]", '[limits]\nleast_worth = "4 g/min"\n[[charge]]')
    with Desk.read(sort_text(text, campaign=picky).ledger, handbook) as desk:
        (line,) = outlet_list(desk)
        assert (line.item, line.outlet) == ("caps", "rigid-polyolefins")
        told = desk.state.items["caps"].resin_verdict
        assert told is not None
        assert [r.code for r in told.reasons] == ["worth_too_little"]
