"""A vertex followed in closed form is where the solver stands at every limit of its stretch, on figures and on ratios alike."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from strategies import at_least, at_most, examples, price_lists, sheet_of, shelf_of

from optimiser.analysis.stretches import Stretch, narrowed, stretch_at
from optimiser.model.moving import moving
from optimiser.model.programme import build
from optimiser.problem.moved_limit import at_figure, with_limit
from optimiser.solve.optimum import least_ratio
from optimiser.solve.solver import Live
from optimiser.solve.vertices import Vertices

KEYS = {"iodine_value": (30.0, 120.0), "superfat": (1.0, 15.0), "saturated": (5.0, 70.0), "water_to_alkali": (1.6, 3.0)}


def followed(prices: dict[str, float], key: str, place: float) -> tuple[Any, Stretch, float]:
    """The programmes of a limit that moves over a shelf, and the stretch at one figure of it."""
    low, high = KEYS[key]
    limit = at_most(key, low) if key == "iodine_value" else at_least(key, low)
    sheet = sheet_of(at_least("saturated", 10.0), at_most("iodine_value", 110.0))
    sheet = with_limit(sheet, limit)
    shelf = shelf_of(prices)
    (family,) = moving(lambda value: build(with_limit(sheet, at_figure(limit, value)), shelf), low, high)
    at = low + place * (high - low)
    live = Vertices(family.programme_at(at))
    assume(least_ratio(live) is not None)
    basis = live.basis()
    assert basis is not None
    stretch = stretch_at(family, basis, at)
    assume(stretch is not None)
    assert stretch is not None
    return family, stretch, at


@settings(max_examples=examples(40))
@given(price_lists(4, 10), st.sampled_from(sorted(KEYS)), st.floats(0.02, 0.98))
def test_a_stretch_is_what_the_solver_finds_in_it(prices: dict[str, float], key: str, place: float) -> None:
    """At both ends, in the middle and where it was found a stretch has the least cost, and its blend meets every row."""
    family, stretch, at = followed(prices, key, place)
    assert stretch.low <= at <= stretch.high
    for limit in (stretch.low, 0.5 * (stretch.low + stretch.high), at, stretch.high):
        programme = family.programme_at(limit)
        cold = least_ratio(Live(programme))
        assert cold is not None
        assert stretch.cost(limit) == pytest.approx(cold.ratio, rel=1e-8, abs=1e-9)
        activity = programme.matrix @ stretch.point(limit)
        assert (activity >= programme.row_low - 1e-7).all()
        assert (activity <= programme.row_high + 1e-7).all()


@settings(max_examples=examples(30))
@given(price_lists(4, 10), st.sampled_from(sorted(KEYS)), st.floats(0.02, 0.98))
def test_beyond_its_ends_a_vertex_is_no_optimum(prices: dict[str, float], key: str, place: float) -> None:
    """Well past an end inside the range the blend of the stretch breaks a row, or costs more than the least."""
    family, stretch, _ = followed(prices, key, place)
    width = family.high - family.low
    inside = [(stretch.high, 1.0)] if stretch.high < family.high - 0.05 * width else []
    inside += [(stretch.low, -1.0)] if stretch.low > family.low + 0.05 * width else []
    assume(inside)
    for end, way in inside:
        limit = end + way * 0.04 * width
        programme = family.programme_at(limit)
        point, cold = stretch.point(limit), least_ratio(Live(programme))
        activity = programme.matrix @ point
        room = 1e-10
        broken = (activity < programme.row_low - room).any() or (activity > programme.row_high + room).any()
        broken = broken or (point < programme.column_low - room).any() or (point > programme.column_high + room).any()
        assert broken or cold is None or stretch.cost(limit) > cold.ratio


def test_its_slope_is_the_cost_of_a_small_step() -> None:
    """The price of a unit is the difference of two costs, over the step between them."""
    stretch = Stretch(0.0, 9.0, 2.0, (3.0, 0.5), (1.2, -0.01), 0.0, np.zeros(1), np.zeros(1))
    step = 1e-6
    assert stretch.slope(4.0) == pytest.approx((stretch.cost(4.0 + step) - stretch.cost(4.0 - step)) / (2.0 * step))


@pytest.mark.parametrize(
    ("polynomial", "room"),
    [
        ((1.0, -0.5, 0.0), (-np.inf, 2.0)),
        ((1.0, 0.5, 0.0), (-2.0, np.inf)),
        ((4.0, 0.0, -1.0), (-2.0, 2.0)),
        ((1.0, 0.0, 1.0), (-np.inf, np.inf)),
        ((2.0, -3.0, 1.0), (-np.inf, 1.0)),
        ((1.0, 1e-16, 0.0), (-np.inf, np.inf)),
    ],
)
def test_room_ends_at_the_nearest_root(polynomial: tuple[float, float, float], room: tuple[float, float]) -> None:
    """How far a polynomial stays above nothing is as far as its nearest root on each side."""
    assert narrowed((-np.inf, np.inf), polynomial, 1e-12) == pytest.approx(room)


def test_what_begins_at_nothing_may_fall_by_the_tolerance() -> None:
    """A line that begins at nothing and falls ends where it has fallen by the tolerance, and not before."""
    assert narrowed((-np.inf, np.inf), (0.0, -1.0, 0.0), 1e-9)[1] == pytest.approx(1e-9)
