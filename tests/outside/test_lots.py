"""Lots against the outside: the bath model against numpy Monte Carlo, room against the project's check value."""

import numpy as np
import pytest

from intake.spread import doubtful, interval, mean_of
from intake.table.bins.budget import Entry
from intake.table.bins.lots import WATER_G_CM3, lot_content
from intake.table.bins.placing import Limits
from intake.table.bins.sink_float import FloatStep
from intake.table.item import Closure, Item, Label
from intake.table.kinds import Flow
from intake.table.resins import ResinId
from intake.table.yields.bulk import flattened_l, pile_l, shred_l
from intake.table.yields.shred import YieldModel

HOST = ResinId("PE-HD")
DRAWS = 20_000


def limits(tolerances):
    return Limits(
        host=HOST, tolerances=tolerances, tolerance_else=0.005, capacity_g=15_000.0, capacity_l=60.0,
        planned_mass_g=1000.0,
    )  # fmt: skip


def simulated(entries, step, tables, seed, resins):
    """Rows drawn by their odds, each with one density; what strays and what is lost is one draw for the lot."""
    rng = np.random.default_rng(seed)
    normal = lambda f: (f.typical, (f.high - f.low) / 2.5631031310892007)  # noqa: E731
    share = lambda f: rng.gamma((_mean(f) / _sd(f)) ** 2, _sd(f) ** 2 / _mean(f), DRAWS)  # noqa: E731
    strays, lost = share(tables.strays), share(tables.good_lost)
    kept = {r: np.zeros(DRAWS) for r in resins}
    out, total = np.zeros(DRAWS), np.zeros(DRAWS)
    for one in entries:
        names = list(one.chances)
        which = rng.choice(len(names), DRAWS, p=list(one.chances.values()))
        mass = rng.normal(mean_of(one.mass_g), one.mass_g.std_dev, DRAWS)
        for place, name in enumerate(names):
            mean, sd = normal(tables.density_g_cm3[name])
            sinks = rng.normal(mean, sd, DRAWS) > rng.normal(
                step.bath_g_cm3, tables.bath_sd_g_cm3.typical, DRAWS
            )
            own = np.where(which == place, mass, 0.0)
            stays = np.where(sinks, own * strays, own * (1.0 - lost))
            kept[name] += stays
            out += own - stays
            total += own
    return kept, out, total


def _mean(figure):
    return 0.3 * figure.low + 0.4 * figure.typical + 0.3 * figure.high


def _sd(figure):
    off = [figure.low - _mean(figure), figure.typical - _mean(figure), figure.high - _mean(figure)]
    return np.sqrt(0.3 * off[0] ** 2 + 0.4 * off[1] ** 2 + 0.3 * off[2] ** 2)


LOTS = [
    pytest.param([(60.0, 0.02)] * 25, id="25 like rows"),
    pytest.param([(60.0, 0.01)] * 8 + [(300.0, 0.03), (500.0, 0.02)], id="two large rows"),
    pytest.param([(20.0, 0.05)] * 60, id="60 small doubtful rows"),
]


def entries_of(rows):
    return [
        Entry(mass_g=doubtful(g, 0.02 * g), chances={"PE-HD": 1.0 - 1.5 * p, "PET": p, "PS": p / 2})
        for g, p in rows
    ]


@pytest.mark.parametrize("rows", LOTS)
@pytest.mark.parametrize("resin", ["PET", "PS"])
def test_a_planned_bath_against_numpy_monte_carlo(handbook, rows, resin):
    tables, entries, step = handbook.sink_float, entries_of(rows), FloatStep(bath_g_cm3=WATER_G_CM3)
    tolerance = 0.002
    kept, _, _ = simulated(entries, step, tables, 3, ("PE-HD", "PET", "PS"))
    share = kept[resin] / sum(kept.values()).mean()  # a planned bath: the mass after it is taken at its mean
    mass_g = sum(g for g, _ in rows)
    found = lot_content(entries, mass_g, [step], limits({resin: tolerance}), tables)
    line = next(s for s in found.shares if s.material == resin)
    assert line.share.mean == pytest.approx(share.mean(), rel=0.06)
    assert line.over == pytest.approx((share > tolerance).mean(), abs=0.04)


@pytest.mark.parametrize("rows", LOTS)
def test_weighed_sinkers_against_numpy_monte_carlo(handbook, rows):
    """Of all simulated lots those whose sinkers weigh about as much: their mean share is what is told."""
    tables, entries = handbook.sink_float, entries_of(rows)
    step = FloatStep(bath_g_cm3=WATER_G_CM3)
    kept, out, total = simulated(entries, step, tables, 5, ("PE-HD", "PET", "PS"))
    share = (kept["PET"] + kept["PS"]) / sum(kept.values())
    mass_g = sum(g for g, _ in rows)
    for level in (0.2, 0.5, 0.95):
        weighed_g = float(np.quantile(out, level))
        near = np.abs(out - weighed_g) < max(2.0, 0.03 * mass_g * 0.3)
        found = lot_content(
            entries, mass_g, [FloatStep(bath_g_cm3=WATER_G_CM3, out_g=weighed_g)], limits({}), tables
        )
        told = sum(s.share.mean for s in found.shares)
        assert near.sum() > 200
        assert told == pytest.approx(share[near].mean(), abs=0.0015)
    assert total.mean() == pytest.approx(mass_g, rel=0.01)


def test_twenty_gallon_jugs_are_136_litres_whole_and_about_3_as_shred(handbook):
    # check value of the project: 136 L by geometry, 3 L as shred (constructed from judgement, no source)
    jugs = Item(kind=handbook.kinds.get("gallon jug"), count=20, label=Label.PAPER, closure=Closure.ON)
    row = YieldModel(handbook.kinds, handbook.losses).item_yield(jugs)
    shred = interval(shred_l(row.shred_g, handbook.bulk, "granulator", Flow.BLOW, HOST))
    assert mean_of(pile_l([(jugs, row)], handbook.bulk)) == pytest.approx(136.0, rel=0.01)
    assert shred.low < 3.0 < shred.high
    assert shred.mean == pytest.approx(3.7, rel=0.02)


def test_flattened_jugs_weigh_what_was_printed_for_a_cubic_yard(handbook):
    # S-MILK: 65 lb/yd3 flattened; 1 lb/yd3 = 0.59327642 kg/m3
    assert handbook.bulk.flattened_g_cm3.typical == pytest.approx(65 * 0.59327642 / 1000, rel=0.005)


@pytest.mark.parametrize("kind", ["jug", "detergent bottle", "bucket", "film bag", "bottle cap"])
def test_flat_never_takes_more_room_than_whole(handbook, kind):
    found = handbook.kinds.find(kind) or handbook.kinds.get("bread-bag")
    item = Item(kind=found, count=10)
    rows = [(item, YieldModel(handbook.kinds, handbook.losses).item_yield(item))]
    assert mean_of(flattened_l(rows, handbook.bulk)) <= mean_of(pile_l(rows, handbook.bulk)) * (1 + 1e-9)
