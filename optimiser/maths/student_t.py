"""Student's t distribution, for honest error bars on few trials."""

from __future__ import annotations

import math
from functools import lru_cache

_MOST_TERMS = 500
_TINY = 1e-300


def incomplete_beta(a: float, b: float, x: float) -> float:
    """The regularised incomplete beta function I_x(a, b), by its continued fraction (DLMF 8.17.22, Lentz's method).

    Args:
        a: above 0.
        b: above 0.
        x: from 0 to 1.
    """
    if x <= 0.0:
        return 0.0
    if x >= 1.0:
        return 1.0
    if x > (a + 1.0) / (a + b + 2.0):  # where the fraction for the other tail converges sooner
        return 1.0 - incomplete_beta(b, a, 1.0 - x)
    front = math.lgamma(a + b) - math.lgamma(a) - math.lgamma(b) + a * math.log(x) + b * math.log1p(-x)
    return math.exp(front) * _fraction(a, b, x) / a


def _fraction(a: float, b: float, x: float) -> float:
    c, d = 1.0, 1.0 - (a + b) * x / (a + 1.0)
    d = 1.0 / (d if abs(d) > _TINY else _TINY)
    value = d
    for m in range(1, _MOST_TERMS):
        even = m * (b - m) * x / ((a + 2 * m - 1) * (a + 2 * m))
        odd = -(a + m) * (a + b + m) * x / ((a + 2 * m) * (a + 2 * m + 1))
        before = value
        for term in (even, odd):
            d = 1.0 + term * d
            d = 1.0 / (d if abs(d) > _TINY else _TINY)
            c = 1.0 + term / c
            c = c if abs(c) > _TINY else _TINY
            value *= c * d
        if abs(value - before) <= 1e-15 * abs(value):
            break
    return value


def t_cumulative(t: float, freedom: float) -> float:
    """The chance that Student's t with `freedom` degrees of freedom is at most `t`."""
    square = t * t
    if square < 1.0:  # near the middle the tails are all but whole, and what lies between keeps more digits
        between = 0.5 * incomplete_beta(0.5, freedom / 2.0, square / (freedom + square))
        return 0.5 + math.copysign(between, t)
    tail = 0.5 * incomplete_beta(freedom / 2.0, 0.5, freedom / (freedom + square))
    return tail if t < 0 else 1.0 - tail


@lru_cache(maxsize=256)
def t_quantile(chance: float, freedom: float) -> float:
    """The t that is not exceeded with this chance; by bisection, good to about ten digits.

    Args:
        chance: between 0 and 1.
        freedom: degrees of freedom, above 0, not necessarily whole.

    Raises:
        ValueError: outside of these.
    """
    if not 0.0 < chance < 1.0 or not freedom > 0.0:
        raise ValueError(f"no t for a chance of {chance} and {freedom} degrees of freedom")
    if chance < 0.5:
        return -t_quantile(1.0 - chance, freedom)
    low, high = 0.0, 1.0
    while t_cumulative(high, freedom) < chance and high < 1e12:
        low, high = high, 2.0 * high
    for _ in range(200):
        middle = 0.5 * (low + high)
        if middle in (low, high):
            break
        low, high = (middle, high) if t_cumulative(middle, freedom) < chance else (low, middle)
    return 0.5 * (low + high)
