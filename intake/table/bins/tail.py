"""How likely a doubtful sum lies above a limit, from its first three moments."""

from math import erfc, exp, lgamma, log, sqrt

_ROOT_TWO = sqrt(2.0)
_STRAIGHT = 0.02
"""[-] below this skewness the normal distribution serves; the gamma would need thousands of terms."""
_STEEPEST = 1e3
"""[-] a sum more skewed than this is one rare draw; the gamma keeps its finite shape."""
_NO_DOUBT = 1e-60
_SMALL = 1e-300
_CLOSE = 1e-12
_MOST_TERMS = 20_000
_FAR = 40.0
"""Standard deviations beyond which nothing that is asked about lies."""
_HALVINGS = 60


def chance_above(limit: float, *, mean: float, variance: float, third: float) -> float:
    """Probability that a sum exceeds `limit`, by a shifted gamma distribution.

    Args:
        limit: the value asked about, in the unit of the sum.
        mean: expected value of the sum.
        variance: its variance, ≥ 0; at 0 the sum is known.
        third: its third central moment; its sign says on which side the long tail lies.

    Returns:
        [-] probability, 0..1.

    Source: translated gamma approximation, which matches three moments (from memory: Bowers and others,
    Actuarial Mathematics, 1986). Near a normal it is a normal.
    """
    # comparisons, not max and min: placing asks millions of times
    sd = sqrt(variance) if variance > 0.0 else 0.0
    if sd <= _CLOSE * abs(mean) or sd <= _CLOSE * abs(limit) or sd < _NO_DOUBT:
        return 1.0 if mean > limit else 0.0
    skewness = third / sd**3
    if -_STRAIGHT < skewness < _STRAIGHT:
        return 0.5 * erfc((limit - mean) / (sd * _ROOT_TWO))
    skewness = max(-_STEEPEST, min(_STEEPEST, skewness))
    if skewness < 0.0:
        return 1.0 - chance_above(-limit, mean=-mean, variance=variance, third=-third)
    shape, scale = 4.0 / skewness**2, sd * skewness / 2.0
    return upper_gamma_share((limit - mean) / scale + shape, shape)


def quantile(share: float, *, mean: float, variance: float, third: float) -> float:
    """The value that a sum stays below with probability `share`, by the same shifted gamma distribution.

    Args:
        share: [-] above 0 and below 1.
        mean: expected value of the sum.
        variance: its variance, ≥ 0.
        third: its third central moment.

    Returns:
        In the unit of the sum, to a billionth of its standard deviation.
    """
    sd = sqrt(max(variance, 0.0))
    low, high = mean - _FAR * sd, mean + _FAR * sd
    for _ in range(_HALVINGS):
        middle = (low + high) / 2.0
        above = chance_above(middle, mean=mean, variance=variance, third=third)
        low, high = (middle, high) if above > 1.0 - share else (low, middle)
    return (low + high) / 2.0


def upper_gamma_share(x: float, shape: float) -> float:
    """Regularised upper incomplete gamma function Q(shape, x): the part of a gamma distribution above x.

    Args:
        x: [-] lower end of the part, in units of the scale; at or below 0 the part is everything.
        shape: [-] > 0.

    Source: series below shape + 1, Lentz's continued fraction above (from memory: Numerical Recipes 6.2).
    """
    if x <= 0.0:
        return 1.0
    front = shape * log(x) - x - lgamma(shape)
    if x < shape + 1.0:
        return max(0.0, 1.0 - exp(front) * _series(x, shape))
    return min(1.0, exp(front) * _fraction(x, shape))


def _series(x: float, shape: float) -> float:
    """Sum of x^n / (shape (shape+1) … (shape+n))."""
    term = total = 1.0 / shape
    for n in range(1, _MOST_TERMS):
        term *= x / (shape + n)
        total += term
        if term < total * _CLOSE:
            break
    return total


def _fraction(x: float, shape: float) -> float:
    """The continued fraction of the upper part, evaluated forward."""
    b = x + 1.0 - shape
    c, d = 1.0 / _SMALL, 1.0 / b
    value = d
    for n in range(1, _MOST_TERMS):
        a = -n * (n - shape)
        b += 2.0
        d = 1.0 / (a * d + b or _SMALL)
        c = b + a / c or _SMALL
        value *= d * c
        if abs(d * c - 1.0) < _CLOSE:
            break
    return value
