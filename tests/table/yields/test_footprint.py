"""Water and electricity of a kilogram of shred."""

import copy
import math

import pytest

from intake.errors import BadInput, HandbookGap, UnknownName
from intake.handbook import Handbook, footprint
from intake.handbook.figures import RawTable, raw_table
from intake.spread import certain, doubtful, mean_of
from intake.table.charge.heat import heat_j_g
from intake.table.resins import ResinId
from intake.table.yields.footprint import Footprint, likely_range, oven_kwh_kg
from intake.table.yields.footprint import footprint as footprint_of

BOOK = Handbook()


def made(resin: str = "PE-HD", shredder: str = "granulator", **how) -> Footprint:
    row = BOOK.heat.rows[ResinId(resin)]
    return footprint_of(
        BOOK.footprint, ResinId(resin), shredder=shredder, melt_j_g=heat_j_g(row, row.melt_c.typical),
        oven_kw=BOOK.heat.oven_kw, **how,
    )  # fmt: skip


@pytest.mark.parametrize("resin", ["PE-HD", "PE-LD", "PP", "PS", "PET"])
def test_warm_washing_takes_more_than_melting_and_less_than_a_small_oven_batch(resin: str) -> None:
    found = made(resin)
    small_kg, small = found.oven_kwh[0]
    assert small_kg <= 1
    assert mean_of(found.melt_kwh) < mean_of(found.wash_kwh) < mean_of(small)


def test_the_batch_decides() -> None:
    found = made()
    batches = [kg for kg, _ in found.oven_kwh]
    draws = [mean_of(kwh) for _, kwh in found.oven_kwh]
    assert batches == sorted(batches)
    assert draws == sorted(draws, reverse=True)
    assert draws[0] * batches[0] == pytest.approx(draws[-1] * batches[-1])


def test_from_the_even_batch_on_the_oven_draws_less_than_the_wash() -> None:
    found = made()
    assert found.even_batch_kg is not None
    batch_kwh = found.oven_kwh[0][1] * found.oven_kwh[0][0]
    assert mean_of(oven_kwh_kg(batch_kwh, found.even_batch_kg)) == pytest.approx(mean_of(found.wash_kwh))


def test_a_cold_wash_costs_no_electricity() -> None:
    cold = made(warm=False)
    assert (mean_of(cold.wash_kwh), cold.even_batch_kg) == (0.0, None)
    assert mean_of(cold.water_l) == mean_of(made().water_l)


def test_a_running_tap_takes_more_water_than_two_tubs() -> None:
    assert mean_of(made(wash="tap").water_l) > 2 * mean_of(made().water_l)


@pytest.mark.parametrize(("how", "says"), [({"shredder": "axe"}, "Shredder"), ({"wash": "river"}, "Wash")])
def test_an_unknown_way_is_told(how: dict, says: str) -> None:
    with pytest.raises(UnknownName, match=says):
        made(**how)


@pytest.mark.parametrize("shredder", list(BOOK.losses.fines))
def test_every_shredder_of_a_campaign_has_its_electricity(shredder: str) -> None:
    assert mean_of(made(shredder=shredder).shred_kwh) >= 0


def test_a_resin_nobody_gives_has_no_virgin_figures() -> None:
    assert made("PC").virgin is None


@pytest.mark.parametrize("batch", [0.0, -1.0, math.nan, math.inf])
def test_no_batch_is_no_batch(batch: float) -> None:
    with pytest.raises(BadInput, match="kilograms above 0"):
        oven_kwh_kg(1.0, batch)


@pytest.mark.parametrize(("mean", "sd"), [(15.0, 10.0), (1.0, 0.1), (0.3, 0.5)])
def test_a_range_stays_above_nothing_and_holds_its_mean(mean: float, sd: float) -> None:
    found = likely_range(doubtful(mean, sd))
    assert 0 < found.low < found.mean == mean < found.high


def test_a_sure_amount_has_no_range() -> None:
    assert likely_range(certain(3.5)).low == likely_range(certain(3.5)).high == 3.5


@pytest.mark.parametrize(
    ("path", "value", "fault"),
    [
        (("wash_l_kg", "tubs", "low"), -1, "0 or more"),
        (("batch_kg", "low"), 0, "above 0 kg"),
        (("wash_l_kg", "plant", "source"), "NOBODY", "a key of sources.toml"),
        (("virgin", "PET", "water_l_kg", "source"), "", "a source"),
    ],
)
def test_a_slip_in_the_table_is_told(monkeypatch, path, value, fault) -> None:
    data = copy.deepcopy(dict(raw_table("footprint.toml").data))
    row = data
    for name in path[:-1]:
        row = row[name]
    row[path[-1]] = value
    monkeypatch.setattr(footprint, "raw_table", lambda name: RawTable(name=name, edition="x", data=data))
    with pytest.raises(HandbookGap, match=fault):
        footprint.read_footprint(BOOK.resins)
