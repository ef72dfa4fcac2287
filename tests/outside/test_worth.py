"""Pace, footprint and worth against textbooks, physics and print; the source stands in every test id."""

import math

import numpy as np
import pytest
from scipy import stats  # type: ignore[import-untyped]

from intake.handbook import Handbook
from intake.spread import certain, doubtful, mean_of, sd_of
from intake.table.prep.pace import Logged, Pace, learned
from intake.table.resins import ResinId
from intake.table.yields.footprint import footprint, likely_range
from intake.table.yields.worth import Worth, in_time
from intake.units import registry

WIDE = 1e9
"""No log is an outlier at this distance: the plain conjugate update is left."""
PRIOR = Pace(mu=3.0, kappa=2.0, alpha=3.0, beta=0.8)
LOGGED = (2.6, 3.1, 3.4, 2.9)


def after(points: tuple[float, ...] = LOGGED) -> Pace:
    return learned(PRIOR, [Logged(task="dry", piece_s=math.exp(x)) for x in points], WIDE)


def test_the_update_is_that_of_the_textbook() -> None:
    # Gelman and others, Bayesian Data Analysis, 3.3 (from memory), worked by hand for n = 4, mean 3.0, SS = 0.34
    found = after()
    assert (found.kappa, found.alpha) == (6.0, 5.0)
    assert found.mu == pytest.approx((2 * 3.0 + 4 * 3.0) / 6)
    assert found.beta == pytest.approx(0.8 + 0.34 / 2)


@pytest.mark.parametrize(
    "points", [LOGGED, (4.5,), (1.0, 1.2, 5.0)], ids=lambda p: f"numerical integration by numpy, {p}"
)
def test_the_update_is_what_bayes_gives_by_brute_force(points: tuple[float, ...]) -> None:
    # independent of the closed form: prior density times likelihood, integrated over mean and variance
    mean, log_variance = np.meshgrid(np.linspace(-4, 10, 1401), np.linspace(-7, 6, 1301))
    variance = np.exp(log_variance)  # a step in ln(variance) is a step in variance times the variance
    weight = stats.norm.pdf(mean, PRIOR.mu, np.sqrt(variance / PRIOR.kappa)) * variance
    weight *= stats.invgamma.pdf(variance, PRIOR.alpha, scale=PRIOR.beta)
    for point in points:
        weight *= stats.norm.pdf(point, mean, np.sqrt(variance))
    found = after(points)
    assert np.average(mean, weights=weight) == pytest.approx(found.mu, rel=1e-4)
    assert np.average(variance, weights=weight) == pytest.approx(found.row_variance, rel=1e-3)


def test_the_prior_predictive_spread_is_that_of_a_student_t() -> None:
    # scipy: t with 2 alpha degrees of freedom and scale² = beta (kappa + 1) / (alpha kappa)
    scale = math.sqrt(PRIOR.beta * (PRIOR.kappa + 1) / (PRIOR.alpha * PRIOR.kappa))
    assert stats.t.var(2 * PRIOR.alpha, scale=scale) == pytest.approx(
        PRIOR.row_variance + PRIOR.mean_variance
    )


def test_the_mean_time_is_that_of_a_log_normal() -> None:
    # scipy.stats.lognorm
    sd = math.sqrt(PRIOR.row_variance + PRIOR.mean_variance)
    assert PRIOR.mean_s == pytest.approx(stats.lognorm.mean(sd, scale=math.exp(PRIOR.mu)))


def test_a_table_that_is_played_is_learned() -> None:
    # numpy Monte Carlo: 40 tables of known pace log 30 rows each, one watch in thirty runs on
    chance = np.random.default_rng(20261101)
    errors = []
    for true_mu in chance.normal(PRIOR.mu, math.sqrt(PRIOR.mean_variance), 40):
        rows = chance.normal(true_mu, math.sqrt(PRIOR.row_variance), 30)
        rows[0] = math.log(6 * 3600)
        found = learned(PRIOR, [Logged(task="dry", piece_s=math.exp(x)) for x in rows], 2.0)
        errors.append(found.mu - true_mu)
    assert abs(float(np.mean(errors))) < 0.05
    assert float(np.std(errors)) < 0.15


@pytest.mark.parametrize("mean", [15.0, 1.0], ids=lambda m: f"scipy.stats.lognorm, mean {m}")
def test_a_likely_range_is_that_of_a_log_normal(mean: float) -> None:
    sd = 0.6 * mean
    shape = math.sqrt(math.log(1 + 0.36))
    exact = stats.lognorm(shape, scale=mean / math.sqrt(1.36))
    found = likely_range(doubtful(mean, sd))
    assert (found.low, found.high) == pytest.approx((exact.ppf(0.05), exact.ppf(0.95)))
    assert exact.mean() == pytest.approx(mean)


def test_grams_in_time_meet_monte_carlo() -> None:
    # numpy Monte Carlo: three rows done one after the other until 30 minutes are over
    rng = np.random.default_rng(7)
    minutes = (10.0, 12.0, 40.0)
    sds, grams = (1.5, 2.0, 3.0), (200.0, 150.0, 300.0)
    pile = tuple(
        Worth(key=str(n), shred_g=certain(g), chance=1.0, minutes=doubtful(m, s), tasks=())
        for n, (g, m, s) in enumerate(zip(grams, minutes, sds, strict=True))
    )
    played = []
    for drawn in rng.normal(minutes, sds, (20_000, 3)):
        left, got = 30.0, 0.0
        for g, m in zip(grams, drawn, strict=True):
            part = min(1.0, left / m)
            got, left = got + part * g, left - part * m
        played.append(got)
    found = in_time(pile, 30.0).shred_g
    assert mean_of(found) == pytest.approx(np.mean(played), rel=0.01)
    assert sd_of(found) == pytest.approx(np.std(played), rel=0.12)


# --- footprint ---------------------------------------------------------------------------------------------------

BOOK = Handbook()


def test_a_litre_warmed_by_thirty_kelvin_takes_what_physics_says() -> None:
    # first law with 4.18 kJ/(kg K), units by pint: 0.035 kWh
    unit = registry()
    litre = (
        1 * unit.kilogram * 4.18 * unit.kilojoule / unit.kilogram / unit.delta_degC * 30 * unit.delta_degC
    ).to("kWh")
    tables = BOOK.footprint
    assert tables.warmed_k.typical == 30
    per_litre = tables.water_kj_kg_k.typical * tables.warmed_k.typical / 3600
    assert per_litre == pytest.approx(litre.magnitude)
    assert per_litre * tables.wash_l_kg["tubs"].typical == pytest.approx(0.42, abs=0.005)


@pytest.mark.parametrize(
    ("resin", "energy", "water", "co2e"),
    [
        pytest.param("PET", 82.7, 66, 3.4, id="S-PMC table 3: PET"),
        pytest.param("PE-HD", 76.7, 32, 1.9, id="S-PMC table 3: PE-HD"),
        pytest.param("PVC", 56.7, 46, 1.9, id="S-PMC table 3: PVC"),
        pytest.param("PE-LD", 78.1, 47, 2.1, id="S-PMC table 3: PE-LD"),
        pytest.param("PP", 73.4, 43, 2.0, id="S-PMC table 3: PP"),
        pytest.param("PS", 87.4, 140, 3.4, id="S-PMC table 3: PS"),
    ],
)
def test_virgin_resin_is_as_printed(resin: str, energy: float, water: float, co2e: float) -> None:
    row = BOOK.footprint.virgin[ResinId(resin)]
    assert (row.energy_mj_kg.typical, row.water_l_kg.typical, row.co2e_kg_kg.typical) == (energy, water, co2e)


def test_a_plant_washes_with_what_was_printed() -> None:
    # S-PMC table 3: typically 3.5 kL a tonne of recycled plastic
    assert BOOK.footprint.wash_l_kg["plant"].typical == 3.5


@pytest.mark.parametrize(
    ("kg_per_h", "kwh_kg"),
    [
        pytest.param(5, 0.078, id="S-GRAN power over 5 kg/h"),
        pytest.param(2, 0.196, id="over 2"),
        pytest.param(0.5, 0.784, id="over 0.5"),
    ],
)
def test_a_small_granulator_stays_within_its_power_over_its_throughput(
    kg_per_h: float, kwh_kg: float
) -> None:
    # S-GRAN: 380 to 404 W; the throughput is our guess
    assert 0.392 / kg_per_h == pytest.approx(kwh_kg, abs=1e-3)
    figure = BOOK.footprint.shred_kwh_kg["granulator"]
    assert 0.95 * figure.low <= kwh_kg <= figure.high


def test_an_oven_draws_its_hours_whatever_is_in_it() -> None:
    # arithmetic on the power in heat.toml: 0.9 kW for two hours are 1.8 kWh, so 0.6 kWh/kg in a batch of 3 kg
    made = footprint(
        BOOK.footprint, ResinId("PE-HD"), shredder="granulator", melt_j_g=562.0, oven_kw=BOOK.heat.oven_kw
    )
    (half, at_half), (one, at_one), (three, at_three) = made.oven_kwh
    assert (half, one, three) == (0.5, 1, 3)
    assert mean_of(at_half) == pytest.approx(2 * mean_of(at_one)) == pytest.approx(6 * mean_of(at_three))
    typical = BOOK.heat.oven_kw.typical * BOOK.footprint.oven_h.typical
    assert typical / three == pytest.approx(0.6)
    assert mean_of(made.melt_kwh) == pytest.approx(0.156, abs=0.001)
