from itertools import product
from math import inf, nan

import pytest
from hypothesis import given
from hypothesis import strategies as st

from intake.errors import BadInput
from intake.table.bins.light import light_of, mixed, rgb_of

CHANNEL = st.integers(0, 255)
RGB = st.tuples(CHANNEL, CHANNEL, CHANNEL)


@given(rgb=RGB)
def test_a_colour_comes_back_from_light(rgb) -> None:
    assert rgb_of(light_of(rgb)) == rgb


@pytest.mark.parametrize(
    ("value", "light"),
    [
        pytest.param(0, 0.0, id="IEC 61966-2-1, black (from memory)"),
        pytest.param(255, 1.0, id="IEC 61966-2-1, white (from memory)"),
        pytest.param(188, 0.5029, id="IEC 61966-2-1, half the light is 188, not 128 (from memory)"),
        pytest.param(10, 0.003035, id="IEC 61966-2-1, the straight piece (from memory)"),
    ],
)
def test_the_curve_has_its_known_points(value: int, light: float) -> None:
    assert light_of((value, 0, 0))[0] == pytest.approx(light, rel=1e-3)


def test_black_and_white_flakes_make_188_grey() -> None:
    assert rgb_of(mixed([((0.0, 0.0, 0.0), 1.0), ((1.0, 1.0, 1.0), 1.0)])) == (188, 188, 188)


@given(one=RGB, two=RGB, weight=st.floats(0.01, 100.0))
def test_a_mix_lies_between_its_parts_and_does_not_mind_the_scale(one, two, weight: float) -> None:
    first, second = light_of(one), light_of(two)
    mix = mixed([(first, weight), (second, 1.0)])
    again = mixed([(second, 10.0), (first, 10.0 * weight)])
    for a, b, m, n in zip(first, second, mix, again, strict=True):
        assert min(a, b) - 1e-12 <= m <= max(a, b) + 1e-12
        assert m == pytest.approx(n, abs=1e-12)


@pytest.mark.parametrize("weights", [(), (0.0,), (-1.0, 3.0), (nan,), (inf,)])
def test_weights_that_are_none_are_refused(weights) -> None:
    with pytest.raises(BadInput, match="weights of 0 or more"):
        mixed([((0.5, 0.5, 0.5), w) for w in weights])


@pytest.mark.parametrize("light", list(product((-0.2, 0.0, 1.4), repeat=3)))
def test_what_is_outside_is_cut(light) -> None:
    assert rgb_of(light) == tuple(255 if v > 1 else 0 for v in light)
