"""Digits in which figure and verdict agree."""

from __future__ import annotations

import math

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from optimiser.measures.sides import Side
from optimiser.measures.telling import agrees, keeps, needed, told
from optimiser.report import words

SIDES = st.sampled_from(list(Side))
LIMITS = st.integers(-10_000, 100_000).map(lambda hundredths: hundredths / 100.0)
GAPS = st.one_of(st.floats(-60.0, 60.0), st.floats(-0.2, 0.2), st.floats(-1e-3, 1e-3), st.just(0.0))
UNITS = st.sampled_from(["index", "%", "ratio", "EUR / kg", "g", "mg KOH/g"])


@given(limit=LIMITS, gap=GAPS, side=SIDES, decimals=st.integers(0, 3))
def test_a_miss_differs_from_its_limit_in_print(limit: float, gap: float, side: Side, decimals: int) -> None:
    """A figure that misses its limit is printed on the wrong side of it, or said to be just beside it; never as it."""
    value = limit + gap
    assume(not keeps(value, limit, side))
    text = told(value, limit, side, decimals, met=False)
    assert agrees(text, limit, side, met=False)
    assert text.startswith("just ") or float(text) != limit
    assert text.startswith("just ") or abs(float(text) - value) <= 0.5 * 10.0**-decimals + 1e-9


@given(limit=LIMITS, gap=GAPS, side=SIDES, decimals=st.integers(0, 3))
def test_what_is_met_never_looks_missed(limit: float, gap: float, side: Side, decimals: int) -> None:
    """A figure that meets its limit, to the digit or to within what a balance blurs, is printed as one that does."""
    value = limit + gap
    blurred = not keeps(value, limit, side)
    assume(not blurred or abs(value - limit) < 0.5)
    text = told(value, limit, side, decimals, met=True)
    assert agrees(text, limit, side, met=True)
    assert abs(float(text) - value) < 0.5 + 1e-9


@given(limit=LIMITS, gap=GAPS, side=SIDES, unit=UNITS, met=st.booleans())
def test_every_unit_goes_by_it(limit: float, gap: float, side: Side, unit: str, met: bool) -> None:  # noqa: FBT001
    """Words with a unit hold the same figure as the digits do, at least as fine as the unit is told without a limit."""
    value = limit + gap
    assume(met or not keeps(value, limit, side))
    assume(not met or keeps(value, limit, side) or abs(value - limit) < 0.5)
    shown = words.against(value, limit, side, unit, met=met).split(words.GLUE)[0]
    assert agrees(shown if not shown.startswith("just") else "just", limit, side, met=met)


@pytest.mark.parametrize(
    ("value", "limit", "side", "met", "text"),
    [
        (65.96, 66.0, Side.AT_LEAST, False, "65.96"),
        (29.9, 30.0, Side.AT_LEAST, True, "30"),
        (-0.004, 0.0, Side.AT_LEAST, False, "-0.004"),
        (0.0004, 0.0, Side.AT_MOST, False, "0.0004"),
        (66.24999999999, 66.25, Side.AT_LEAST, True, "66.25"),
        (66.25, 66.25, Side.AT_LEAST, True, "66.25"),
        (60.37, 60.0, Side.AT_LEAST, True, "60.4"),
        (30.4, 30.0, Side.EXACTLY, True, "30"),
        (32.0, 30.0, Side.AT_MOST, True, "32.0"),
        (30.0 + 1e-13, 30.0, Side.AT_MOST, False, "just over 30.0"),
        (math.nan, 30.0, Side.AT_MOST, False, "-"),
    ],
)
def test_digits(value: float, limit: float, side: Side, met: bool, text: str) -> None:  # noqa: FBT001
    """Figures beside their limits, as a maker reads them."""
    assert told(value, limit, side, 1, met=met) == text


def test_decimals_needed() -> None:
    """A limit is written out in the decimals that it has."""
    assert [needed(figure) for figure in (30.0, 1.7, 2.25, 1 / 3)] == [0, 1, 2, 6]
