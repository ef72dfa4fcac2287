import math

import pytest

from intake.errors import BadInput
from intake.handbook import Handbook
from intake.handbook.figures import RawTable
from intake.solving import HighsSolver
from intake.table.bins.colour import Lab
from intake.table.charge.compose import Composition, compose
from intake.table.charge.misfit import Misfit
from intake.table.charge.stock import Stock, Wish, colour_gaps
from intake.table.kinds import Flow
from intake.table.resins import ResinId

WHITE, BLACK = Lab(lightness=100, a=0, b=0), Lab(lightness=0, a=0, b=0)


def stock(**more: object) -> Stock:
    given = {"id": "L-1", "mass_g": 100.0, "flow_g_10min": 1.0, "colour": WHITE, "foreign": {}, **more}
    return Stock(**given)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("more", "wanted"),
    [
        ({"mass_g": -1.0}, "0 g or more"),
        ({"mass_g": math.nan}, "0 g or more"),
        ({"mass_g": math.inf}, "0 g or more"),
        ({"flow_g_10min": 0.0}, "above 0"),
        ({"flow_g_10min": math.nan}, "above 0"),
        ({"foreign": {"PP": 1.1}}, "from 0 to 1"),
        ({"foreign": {"PP": math.nan}}, "from 0 to 1"),
    ],
)
def test_a_lot_that_cannot_be_is_refused(more, wanted) -> None:
    with pytest.raises(BadInput, match=wanted):
        stock(**more)


@pytest.mark.parametrize(
    ("more", "wanted"),
    [
        ({"mass_g": 0.0}, "above 0 g"),
        ({"mass_g": math.inf}, "above 0 g"),
        ({"limits": {"PP": 0.0}}, "above 0 and up to 1"),
        ({"limits": {"PP": 2.0}}, "above 0 and up to 1"),
        ({"flow_low": 2.0, "flow_high": 1.0}, "not above the high end"),
        ({"flow_low": -1.0}, "above 0"),
        ({"flow_high": math.inf}, "above 0"),
        ({"opening_de00": -1.0}, "0 or more"),
        ({"unknown_de00": math.nan}, "0 or more"),
    ],
)
def test_a_wish_that_cannot_be_meant_is_refused(more, wanted) -> None:
    with pytest.raises(BadInput, match=wanted):
        Wish(**{"mass_g": 100.0, "limits": {}, **more})


def test_a_lot_of_many_colours_is_far_from_every_colour() -> None:
    gaps = colour_gaps([stock(), stock(colour=BLACK), stock(colour=None)], 30.0)
    assert gaps == ((0.0, pytest.approx(100.0), 30.0), (pytest.approx(100.0), 0.0, 30.0))
    assert colour_gaps([stock(colour=None)], 30.0) == ((30.0,),)


def test_without_any_lot_nothing_can_be_mixed() -> None:
    found = compose([], Wish(mass_g=100.0, limits={}), HighsSolver())
    assert isinstance(found, Misfit)
    assert (found.available_g, found.reachable_g, found.short_g) == (0.0, 0.0, 100.0)


def test_an_unknown_flow_matters_only_where_a_window_is_wanted() -> None:
    lots = [stock(flow_g_10min=None)]
    found = compose(lots, Wish(mass_g=50.0, limits={}), HighsSolver())
    assert isinstance(found, Composition)
    assert found.flow_g_10min is None
    with pytest.raises(BadInput, match="melt flow rate is known"):
        compose(lots, Wish(mass_g=50.0, limits={}, flow_low=0.5), HighsSolver())


def test_a_dirty_lot_is_thinned_just_as_far_as_the_limit_asks() -> None:
    # by hand: white at 4 % and clean black; 3 % in all leaves three quarters white, 100 apart from a quarter
    lots = [
        stock(mass_g=90.0, foreign={"PP": 0.04}),
        stock(id="L-2", colour=BLACK, mass_g=50.0),
    ]
    found = compose(lots, Wish(mass_g=100.0, limits={"PP": 0.03}, opening_de00=0.0), HighsSolver())
    assert isinstance(found, Composition)
    assert dict(found.taken_g) == pytest.approx({"L-1": 75.0, "L-2": 25.0})
    assert found.mixing_de00 == pytest.approx(25.0)
    assert found.foreign["PP"] == pytest.approx(0.03)


def test_the_handbook_knows_how_the_usual_lots_flow(handbook: Handbook) -> None:
    # memory M11, read S39 (moulding 5 to 10), S57 (film), S42 (polystyrene): rows typed again
    rates = handbook.blend.rates
    assert rates[ResinId("PE-HD"), Flow.BLOW].high < rates[ResinId("PE-HD"), Flow.INJECTION].typical
    assert (rates[ResinId("PE-LD"), Flow.FILM].low, rates[ResinId("PE-LD"), Flow.FILM].high) == (0.8, 5.0)
    assert (rates[ResinId("PS"), Flow.INJECTION].low, rates[ResinId("PS"), Flow.INJECTION].high) == (
        5.0,
        34.0,
    )
    assert (ResinId("PET"), Flow.BLOW) not in rates


@pytest.mark.parametrize(
    ("rows", "fault"),
    [
        ({"PE-HX": {"blow": {}}}, "a resin of resins.toml"),
        ({"PE-HD": {"spun": {}}}, "one of blow"),
        ({"PE-HD": {"blow": {"low": 0, "typical": 1, "high": 2}}}, "a rate above 0"),
    ],
)
def test_a_faulty_row_is_named(monkeypatch, handbook, rows, fault) -> None:
    from intake.errors import HandbookGap
    from intake.handbook import blend

    figure = {"low": 1.0, "typical": 1.0, "high": 1.0, "unit": "1", "basis": "judgement", "why": "x"}
    full = {r: {f: figure | raw for f, raw in row.items()} for r, row in rows.items()}
    data = {"blend": {"opening_de00": figure, "unknown_de00": figure}, "rates": full}
    monkeypatch.setattr(blend, "raw_table", lambda name: RawTable(name=name, edition="x", data=data))
    with pytest.raises(HandbookGap, match=fault):
        blend.read_blend(handbook.resins)
