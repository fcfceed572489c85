"""A programme whose limit moves is, over each stretch, just what is built at every figure in it."""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from strategies import at_least, at_most, examples, sheet_of, shelf_of, with_practice

from optimiser.model.moving import Moving, halves, holding_preferences, moving
from optimiser.model.programme import Programme, build
from optimiser.problem.goals import GoalSheet
from optimiser.problem.limits import Limit
from optimiser.problem.moved_limit import at_figure, with_limit

PRICES = {"olive oil": 7.4, "coconut oil": 3.1, "castor oil": 5.0, "beeswax": 9.0, "lard": 2.2, "palm oil": 1.9}
SHELF = shelf_of(PRICES)


def built(sheet: GoalSheet, limit: Limit, value: float) -> Programme:
    """The programme with the limit at a figure."""
    return build(with_limit(sheet, at_figure(limit, value)), SHELF)


LIMITS = (
    (with_practice(), at_least("hardness", 30.0), 10.0, 80.0),
    (with_practice(), at_most("castor oil", 8.0, "fat"), 1.0, 40.0),
    (with_practice(), at_least("beeswax", 1.0, "fat"), 0.0, 9.0),
    (sheet_of(at_least("mildness", 50.0)), at_least("superfat", 4.0), 1.0, 20.0),
    (sheet_of(), at_most("lye_concentration", 33.0), 25.0, 40.0),
    (with_practice(), at_most("coconut oil", 30.0, "fat"), 5.0, 60.0),
)


@cache
def families_of(place: int) -> list[Moving]:
    """The stretches of one of the cases, laid once."""
    sheet, limit, low, high = LIMITS[place]
    return moving(lambda value: built(sheet, limit, value), low, high)


@settings(max_examples=examples(60), deadline=None)
@given(st.sampled_from(LIMITS), st.floats(0.001, 0.999))
def test_the_line_is_what_is_built(case: tuple[GoalSheet, Limit, float, float], place: float) -> None:
    """At any figure of a range the arrays on the line are those of the goals with the limit at that figure."""
    sheet, limit, low, high = case
    families = families_of(LIMITS.index(case))
    value = low + place * (high - low)
    (family, *_) = [one for one in families if one.low <= value <= one.high]
    made, real = family.programme_at(value), built(sheet, limit, value)
    assert [row.wish for row in made.rows] == [row.wish for row in real.rows]
    assert np.allclose(made.matrix, real.matrix, rtol=1e-9, atol=1e-9)
    assert np.allclose(made.row_low, real.row_low, rtol=1e-9, atol=1e-9)
    assert np.allclose(made.row_high, real.row_high, rtol=1e-9, atol=1e-9)


@pytest.mark.parametrize(("sheet", "limit", "low", "high"), LIMITS)
def test_stretches_cover_the_range(sheet: GoalSheet, limit: Limit, low: float, high: float) -> None:
    """Stretches follow each other from the lower to the higher end."""
    families = moving(lambda value: built(sheet, limit, value), low, high)
    assert len(families) <= 3
    assert families[0].low == low
    assert families[-1].high == high
    assert [one.high for one in families[:-1]] == [one.low for one in families[1:]]
    assert all(one.is_straight for one in families)


def test_a_range_is_parted_where_a_wax_levels_off() -> None:
    """Of a wax whose pull has pieces there is more than one stretch, and one stretch of what has none."""
    sheet, limit, low, high = LIMITS[2]
    assert len(moving(lambda value: built(sheet, limit, value), low, high)) > 1
    sheet, limit, low, high = LIMITS[0]
    assert len(moving(lambda value: built(sheet, limit, value), low, high)) == 1


def test_a_matrix_of_rank_one_in_halves() -> None:
    """Two rows that move the same way are one lean and one direction."""
    along = np.array([0.0, 2.0, -1.0])
    lean, found = halves(np.vstack([0.0 * along, along, -0.5 * along]))
    assert np.allclose(np.outer(lean, found), np.array([[0.0, 0.0, 0.0], [0.0, 2.0, -1.0], [0.0, -1.0, 0.5]]))


def test_preferences_are_held_in_full() -> None:
    """With a preference held nothing of it may be missed but a hair."""
    sheet = sheet_of()._replace(prefer=((at_least("mildness", 60.0),),))
    programme = holding_preferences(build(sheet, SHELF))
    (preference,) = programme.soft
    (place,), (slack,) = preference.rows, preference.shortfalls
    assert programme.column_high[slack] == 0.0
    assert programme.row_low[place] == pytest.approx(60.0, abs=1e-6)
