"""Cautions: the right ones for an act and a resin, and the forbidden things never offered."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from intake.errors import HandbookGap
from intake.handbook import Handbook
from intake.handbook.locate import resources
from intake.table.compat.cautions import NAMED_BY_RULES, Act, CautionId, CautionTable, Level
from intake.table.resins import ResinId
from intake.words import catalogue

BOOK = Handbook()
TABLE = BOOK.cautions
WORDS = catalogue(resources() / "words")


def ids(act: Act, *resins: str) -> list[str]:
    return [c.id for c in TABLE.cautions_for(act, [ResinId(r) for r in resins])]


@pytest.mark.parametrize("act", list(Act))
def test_every_act_has_a_caution(act: Act) -> None:
    assert ids(act)


@pytest.mark.parametrize(
    ("act", "resins", "wanted"),
    [
        (Act.HEAT, ("PVC-P",), "pvc-heat"),
        (Act.HEAT, ("POM",), "pom-heat"),
        (Act.HEAT, ("PE-HD", "PS-HI"), "styrenics"),
        (Act.HEAT, ("PE-HD",), "dedicated-oven"),
        (Act.HEAT, ("PE-HD",), "ventilate"),
        (Act.HEAT, ("PE-HD",), "dry-shred"),
        (Act.HEAT, ("PE-HD",), "oven-thermometer"),
        (Act.HEAT, ("PP",), "old-pigments"),
        (Act.SHRED, (), "guards"),
        (Act.SHRED, (), "isolate"),
        (Act.CUT, (), "hand-cutting"),
        (Act.WASH, (), "caustic-soda"),
        (Act.WASH, (), "bleach-and-acid"),
        (Act.WASH, (), "hot-water"),
        (Act.SOLVENT, (), "strong-solvents"),
        (Act.RECEIVE, (), "battery"),
        (Act.RECEIVE, (), "aerosol"),
        (Act.RECEIVE, (), "vape"),
        (Act.RECEIVE, (), "sharps"),
        (Act.RECEIVE, (), "unknown-content"),
        (Act.STORE, (), "not-for-food"),
        (Act.USE, (), "not-for-food"),
    ],
)
def test_an_act_calls_for_its_caution(act: Act, resins: tuple[str, ...], wanted: str) -> None:
    assert wanted in ids(act, *resins)


@pytest.mark.parametrize(
    ("resin", "alien"), [("PE-HD", "pvc-heat"), ("PP", "pom-heat"), ("PET", "styrenics")]
)
def test_a_caution_on_another_resin_is_not_shown(resin: str, alien: str) -> None:
    assert alien not in ids(Act.HEAT, resin)


@pytest.mark.parametrize(
    "caution", ["caustic-soda", "strong-solvents", "solvent-smear", "dedicated-oven", "pvc-heat"]
)
def test_what_has_no_place_at_a_table_is_forbidden(caution: str) -> None:
    assert TABLE.rows[CautionId(caution)].level is Level.FORBID


@given(act=st.sampled_from(list(Act)), resins=st.lists(st.sampled_from(sorted(BOOK.resins.rows)), max_size=4))
def test_the_strongest_come_first_and_more_resins_never_hide_one(act: Act, resins: list[ResinId]) -> None:
    found = TABLE.cautions_for(act, resins)
    order = [list(Level).index(c.level) for c in found]
    assert order == sorted(order)
    assert {c.id for c in TABLE.cautions_for(act)} <= {c.id for c in found}


@pytest.mark.parametrize("caution", sorted(TABLE.rows))
def test_a_caution_has_a_title_and_a_text(caution: str) -> None:
    for part in ("title", "text"):
        key = f"caution.{caution}.{part}"
        assert WORDS(key) != key
    assert len(WORDS(f"caution.{caution}.text")) <= 220


def test_no_words_are_left_without_a_caution() -> None:
    told = {k.split(".")[1] for k in WORDS.texts if k.startswith("caution.") and k.count(".") == 2}
    assert told - set(TABLE.rows) == {"level"}


@pytest.mark.parametrize("level", list(Level))
def test_every_level_has_a_word(level: Level) -> None:
    assert WORDS(f"caution.level.{level}") != f"caution.level.{level}"


@pytest.mark.parametrize("named", NAMED_BY_RULES)
def test_a_table_without_a_caution_that_the_verdict_names_is_refused(named: CautionId) -> None:
    rows = {k: v for k, v in TABLE.rows.items() if k != named}
    with pytest.raises(HandbookGap, match=named):
        CautionTable(rows, BOOK.resins)
