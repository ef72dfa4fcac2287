"""Where good plastic goes that is refused here."""

import copy

import pytest

from intake.errors import HandbookGap
from intake.handbook import Handbook, outlets
from intake.handbook.figures import RawTable, raw_table
from intake.handbook.locate import resources
from intake.table.compat.outlets import CLEAN_FURTHER
from intake.table.resins import Reason, ResinId
from intake.words import catalogue

BOOK = Handbook()
HAZARDS = frozenset(map(ResinId, ("PVC", "POM")))
NONE = "resin_melts_with_none"


def outlet(resin: str, *codes: str, probability: float = 0.95) -> str | None:
    return BOOK.outlets.outlet(ResinId(resin), probability, [Reason.of(c) for c in codes], HAZARDS)


@pytest.mark.parametrize(
    ("resin", "where"),
    [
        ("PET", "deposit-or-bottles"), ("PP", "rigid-polyolefins"), ("PE-HD", "rigid-polyolefins"),
        ("PE-LD", "film-return"), ("PS", "styrenics"), ("ABS", "styrenics"), ("PA6", "technical"),
        ("PLA", "industrial-compost"), ("EVAC", "ask-recycling-centre"),
    ],
)  # fmt: skip
def test_a_resin_that_is_only_not_ours_has_somewhere_to_go(resin: str, where: str) -> None:
    assert outlet(resin, NONE, "resin_good_elsewhere") == outlet(resin, NONE) == where


@pytest.mark.parametrize(
    "codes",
    [
        ("residue_motor_oil", "residue_goes_to_collection"),
        ("residue_hazardous", "residue_goes_to_collection"),
        ("residue_medicine",),
        ("kind_flame_retardant", NONE),
        ("resin_is_hazard",),
        ("hazard_lot",),
        (),
    ],
    ids=str,
)
def test_what_is_dangerous_is_never_passed_on_as_good(codes: tuple[str, ...]) -> None:
    assert outlet("PET", *codes) is None


@pytest.mark.parametrize("resin", ["PVC", "POM", "other"])
def test_a_hazard_or_nobody_knows_what_is_no_good_plastic(resin: str) -> None:
    assert outlet(resin, NONE) is None


@pytest.mark.parametrize(
    ("probability", "where"),
    [(0.3, None), (0.49, None), (0.5, "ask-recycling-centre"), (0.8, "ask-recycling-centre")],
)
def test_a_guess_is_not_passed_on(probability: float, where: str | None) -> None:
    assert outlet("PP", "resin_likely_none", probability=probability) == where


def test_too_much_left_on_is_cleaned_further() -> None:
    assert outlet("PE-HD", "budget_residue") == CLEAN_FURTHER


def test_every_outlet_has_words() -> None:
    words = catalogue(resources() / "words")
    for name in {*BOOK.outlets.by_resin.values(), BOOK.outlets.otherwise, CLEAN_FURTHER}:
        assert f"outlet.{name}" in words.texts


@pytest.mark.parametrize("slip", ["unknown", "twice", "no-rest"])
def test_a_slip_in_the_table_is_told(monkeypatch, slip: str) -> None:
    data = copy.deepcopy(dict(raw_table("outlets.toml").data))
    rows = data["outlets"]
    if slip == "unknown":
        rows["styrenics"]["resins"].append("PQ")
    elif slip == "twice":
        rows["styrenics"]["resins"].append("PET")
    else:
        rows["ask-recycling-centre"]["resins"] = ["EVAC"]
    monkeypatch.setattr(outlets, "raw_table", lambda name: RawTable(name=name, edition="x", data=data))
    with pytest.raises(HandbookGap, match=r"outlets\.toml"):
        outlets.read_outlets(BOOK.resins)
