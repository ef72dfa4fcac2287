import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from intake.errors import BadInput
from intake.handbook import Handbook
from intake.spread import doubtful, mean_of, sd_of
from intake.table.charge.parts import MeasuredPart, Moulding, after_parts, part_mass_g
from intake.table.charge.target import ChargeSpec, charge_plan
from intake.table.resins import ResinId

BOOK = Handbook()
DOUBT = BOOK.shrinkage.part_doubt


def start() -> Moulding:
    return Moulding(shrinkage=doubtful(0.032, 0.006, "s"), solid_g_cm3=doubtful(0.955, 0.006, "d"))


def weighed(mass_g: float) -> MeasuredPart:
    return MeasuredPart(cavity_cm3=1000.0, mass_g=mass_g)


def test_one_part_teaches_what_a_kalman_filter_with_matrices_would() -> None:
    # the same step typed with numpy: x' = x + P h (z - y) / (h P h + r²), P' = P - P h h P / (h P h + r²)
    before, mass_g = start(), 880.0
    state = np.array([0.032, 0.955])
    doubts = np.diag([0.006**2, 0.006**2])
    slope = np.array([-3 * 1000 * (1 - state[0]) ** 2 * state[1], 1000 * (1 - state[0]) ** 3])
    noise = (DOUBT.voids.typical * mass_g) ** 2
    variance = slope @ doubts @ slope + noise
    gain = doubts @ slope / variance
    found = after_parts(before, [weighed(mass_g)], DOUBT)
    wanted = state + gain * (mass_g - 1000 * (1 - state[0]) ** 3 * state[1])
    left = doubts - np.outer(gain, slope @ doubts)
    assert mean_of(found.shrinkage) == pytest.approx(wanted[0], rel=1e-9)
    assert mean_of(found.solid_g_cm3) == pytest.approx(wanted[1], rel=1e-9)
    assert sd_of(found.shrinkage) == pytest.approx(math.sqrt(left[0, 0]), rel=1e-9)
    assert sd_of(found.solid_g_cm3) == pytest.approx(math.sqrt(left[1, 1]), rel=1e-9)


@pytest.mark.parametrize("true_s", [0.022, 0.03, 0.042])
def test_many_parts_lead_to_the_truth(true_s) -> None:
    chance = np.random.default_rng(4)
    parts = []
    for _ in range(15):
        side_mm = 300 * (1 - true_s) + chance.normal(0, 0.5)
        parts.append(MeasuredPart(cavity_cm3=1000.0, side_mm=side_mm, mould_mm=300 + chance.normal(0, 0.5)))
        parts.append(weighed(part_mass_g(1000.0, true_s, 0.955) * (1 + chance.normal(0, 0.01))))
    found = after_parts(start(), parts, DOUBT)
    assert mean_of(found.shrinkage) == pytest.approx(true_s, abs=4 * sd_of(found.shrinkage))
    assert sd_of(found.shrinkage) < 0.001


@pytest.mark.parametrize("mass_g", [86.0, 8650.0, 1200.0])
def test_a_slip_of_ten_is_asked_about_and_teaches_nothing(mass_g) -> None:
    found = after_parts(start(), [weighed(mass_g)], DOUBT)
    assert [r.code for r in found.reasons] == ["part_far_off"]
    assert mean_of(found.shrinkage) == 0.032
    assert sd_of(found.shrinkage) == pytest.approx(0.006)


@given(mass_g=st.floats(700, 1100))
def test_no_single_part_moves_further_than_two_sd_of_surprise(mass_g) -> None:
    found = after_parts(start(), [weighed(mass_g)], DOUBT)
    assert abs(mean_of(found.shrinkage) - 0.032) <= 2 * 0.006 + 1e-12
    assert sd_of(found.shrinkage) <= 0.006 + 1e-12


@pytest.mark.parametrize(
    "more",
    [
        {"mass_g": 0.0}, {"mass_g": -1.0}, {"mass_g": math.nan}, {"mass_g": math.inf}, {"side_mm": 290.0},
        {"mould_mm": 300.0}, {"side_mm": 0.0, "mould_mm": 300.0}, {"side_mm": 290.0, "mould_mm": 1e9},
    ],
)  # fmt: skip
def test_a_part_that_cannot_be_is_refused(more) -> None:
    with pytest.raises(BadInput, match="Part"):
        MeasuredPart(cavity_cm3=1000.0, **more)


@pytest.mark.parametrize(("told", "sign"), [(0.96, 1), (0.98, -1)])
def test_a_plan_learns_from_its_parts(told, sign) -> None:
    spec = ChargeSpec(id="a", resin=ResinId("PE-HD"), cavity_cm3=1000.0)
    side = MeasuredPart(cavity_cm3=1000.0, side_mm=told * 300, mould_mm=300.0)
    learned = ChargeSpec(id="a", resin=ResinId("PE-HD"), cavity_cm3=1000.0, parts=(side,))
    plain, taught = charge_plan(spec, BOOK.charge), charge_plan(learned, BOOK.charge)
    assert sign * (mean_of(taught.shrinkage.used) - mean_of(plain.shrinkage.used)) > 0
    assert sign * (mean_of(plain.charge_g) - mean_of(taught.charge_g)) > 0
    assert sd_of(taught.charge_g) < sd_of(plain.charge_g)
