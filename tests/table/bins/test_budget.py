"""The budget against simulation; the bound on its error stands in `chance_over`."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from intake.errors import BadInput
from intake.spread import doubtful
from intake.table.bins.budget import Content, Entry, chance_over, content_of, with_entry

CASES = {
    "many like jugs, few doubts": ([(48.0, 4.0, 0.02)] * 40, 0.05, 0.0),
    "many doubtful items": ([(48.0, 4.0, 0.08)] * 60, 0.10, 0.0),
    "one large row leads": ([(900.0, 30.0, 0.06)] + [(40.0, 5.0, 0.03)] * 20, 0.05, 2000.0),
    "three large rows": ([(400.0, 20.0, 0.1)] * 3 + [(30.0, 3.0, 0.05)] * 30, 0.12, 0.0),
    "mixed sizes": ([(20.0 + 15.0 * (i % 9), 3.0, 0.01 * (1 + i % 7)) for i in range(80)], 0.04, 0.0),
    "first item of an empty bin": ([(48.0, 4.0, 0.04)], 0.02, 2000.0),
    "likely foreign": ([(50.0, 5.0, 0.7)] * 12, 0.75, 0.0),
    "one row with a doubtful mass": ([(200.0, 20.0, 0.03)], 0.01, 0.0),
    "nearly at the limit": ([(25.0, 2.0, 0.03)] * 150, 0.05, 0.0),
}


def entry(mass_g: float = 50.0, sd_g: float = 0.0, chance: float = 0.02, **residues):
    chances = {"PE-HD": 1.0 - chance, "PP": chance}
    return Entry(mass_g=doubtful(mass_g, sd_g), chances=chances, residues=residues)


def simulate(rows, limit_g: float, seed: int = 7, draws: int = 200_000) -> float:
    """P(foreign mass > limit): each row is one draw of its whole, doubtful mass."""
    rng = np.random.default_rng(seed)
    total = np.zeros(draws)
    for mass_g, sd_g, chance in rows:
        total += (rng.random(draws) < chance) * rng.normal(mass_g, sd_g, draws)
    return float(np.mean(total > limit_g))


@pytest.mark.parametrize("name", CASES, ids=lambda n: f"numpy Monte Carlo, {n}")
def test_the_chance_of_passing_a_tolerance_agrees_with_simulation(name: str) -> None:
    rows, tolerance, planned_mass_g = CASES[name]
    content = content_of(entry(m, s, p) for m, s, p in rows)
    limit_g = tolerance * max(content.mass_g, planned_mass_g)
    found = chance_over(content, "PP", tolerance, planned_mass_g=planned_mass_g)
    assert found == pytest.approx(simulate(rows, limit_g), abs=0.03)


def random_bins(seed: int, count: int):
    """Bins of 1 to 59 rows of unlike size and doubt; the mix that the docstring's error was measured on."""
    rng = np.random.default_rng(seed)
    for _ in range(count):
        size, spread = rng.choice([30.0, 60.0, 200.0]), rng.choice([0.1, 0.6, 1.2])
        masses = size * rng.lognormal(0.0, spread, rng.integers(1, 60))
        rows = [
            (m, 0.08 * m, rng.choice([0.002, 0.01, 0.03, 0.08, 0.2]) * rng.uniform(0.5, 1.5)) for m in masses
        ]
        yield rows, rng.choice([0.01, 0.02, 0.05, 0.1]), rng.choice([0.0, 1000.0, 3000.0])


def test_over_random_bins_the_error_is_what_the_docstring_says() -> None:
    """Numpy Monte Carlo on bins of another seed than the figures in `chance_over` were measured on."""
    pairs = []
    for rows, tolerance, planned_mass_g in random_bins(11, 60):
        content = content_of(entry(*row) for row in rows)
        found = chance_over(content, "PP", tolerance, planned_mass_g=planned_mass_g)
        limit_g = tolerance * max(content.mass_g, planned_mass_g)
        pairs.append((found, simulate(rows, limit_g, draws=40_000)))
    errors = [abs(found - simulated) for found, simulated in pairs]
    assert np.median(errors) < 0.01
    assert np.quantile(errors, 0.95) < 0.05
    assert max(errors) < 0.10
    assert max(abs(f - s) for f, s in pairs if 0.01 < s < 0.15) < 0.04


def test_residue_of_one_shared_guess_agrees_with_simulation() -> None:
    content = content_of([entry(50.0, glue=doubtful(0.5, 0.2))] * 30)
    rng = np.random.default_rng(3)
    glue_g = 30 * rng.normal(0.5, 0.2, 200_000)
    expected = float(np.mean(glue_g > 0.012 * content.mass_g))
    assert chance_over(content, "glue", 0.012) == pytest.approx(expected, abs=0.01)


@pytest.mark.parametrize(
    ("limit_g", "part"), [(80.0, 0.8413447), (100.0, 0.5), (120.0, 0.1586553)], ids=["-1 sd", "mean", "+1 sd"]
)
def test_the_doubt_of_one_row_counts_where_the_row_is_foreign(limit_g: float, part: float) -> None:
    """Closed form: the row is PP with chance 0.3, and then normal, 100 g with 20 g (standard normal table)."""
    content = content_of([entry(100.0, 20.0, 0.3)])
    found = chance_over(content, "PP", limit_g / 1000.0, planned_mass_g=1000.0)
    assert found == pytest.approx(0.3 * part, abs=1e-6)


def test_pieces_entered_together_are_one_draw_not_many() -> None:
    together = content_of([entry(2000.0, chance=0.04)])
    apart = content_of([entry(20.0, chance=0.04)] * 100)
    assert together.expected_share("PP") == pytest.approx(apart.expected_share("PP"))
    assert together.materials["PP"].total_variance_g2 > 50 * apart.materials["PP"].total_variance_g2
    assert chance_over(together, "PP", 0.10) == pytest.approx(0.04)
    assert chance_over(apart, "PP", 0.10) < 0.01


def test_the_first_item_of_an_empty_bin_is_judged_by_the_planned_lot() -> None:
    first = entry(48.0, chance=0.2)
    assert chance_over(Content(), "PP", 0.05, entry=first) == pytest.approx(0.2)
    assert chance_over(Content(), "PP", 0.05, entry=first, planned_mass_g=2000.0) == 0.0


ROWS = st.lists(st.tuples(st.floats(1, 500), st.floats(0.001, 0.5)), min_size=1, max_size=14)


@settings(max_examples=40)
@given(rows=ROWS, seed=st.randoms(use_true_random=False))
def test_the_order_of_arrival_does_not_change_the_sums(rows, seed) -> None:
    shuffled = list(rows)
    seed.shuffle(shuffled)
    one, other = (content_of(entry(m, chance=p) for m, p in order) for order in (rows, shuffled))
    assert one.mass_g == pytest.approx(other.mass_g)
    for material in ("PP", "PE-HD"):
        left, right = one.materials[material], other.materials[material]
        assert left.expected_g == pytest.approx(right.expected_g)
        assert left.total_variance_g2 == pytest.approx(right.total_variance_g2)


@settings(max_examples=40)
@given(rows=ROWS, tolerance=st.floats(0.01, 1.0))
def test_a_larger_planned_lot_never_makes_a_bin_look_dirtier(rows, tolerance) -> None:
    content = content_of(entry(m, chance=p) for m, p in rows)
    small, large = (chance_over(content, "PP", tolerance, planned_mass_g=g) for g in (0.0, 50_000.0))
    assert 0.0 <= large <= small + 1e-9 <= 1.0 + 1e-9


def test_an_entry_counts_the_same_whether_it_is_in_or_about_to_be() -> None:
    content = content_of([entry()] * 9)
    assert chance_over(content, "PP", 0.05, entry=entry()) == chance_over(
        with_entry(content, entry()), "PP", 0.05
    )


@pytest.mark.parametrize("tolerance", [0.0, -0.1, 1.1, math.nan])
def test_a_tolerance_that_is_no_share_above_zero_is_refused(tolerance: float) -> None:
    with pytest.raises(BadInput, match="share above 0"):
        chance_over(Content(), "PP", tolerance)


@pytest.mark.parametrize(
    "values",
    [
        {"mass_g": 0.0},
        {"mass_g": -1.0},
        {"mass_g": math.nan},
        {"mass_g": math.inf},
        {"mass_g": 1.0, "chances": {"PP": 1.5}},
        {"mass_g": 1.0, "chances": {"PP": math.nan}},
        {"mass_g": 1.0, "residues": {"glue": -1.0}},
    ],
)
def test_an_entry_that_cannot_be_is_refused(values) -> None:
    with pytest.raises(BadInput):
        Entry(**{"chances": {}, **values})


def test_a_material_nobody_brought_cannot_pass_anything() -> None:
    assert chance_over(content_of([entry()]), "PVC", 0.01) == 0.0
    assert Content().expected_share("PP") == 0.0
