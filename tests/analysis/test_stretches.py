"""A vertex followed in closed form is where the solver stands at every limit of its stretch, on figures and on ratios alike."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from strategies import at_least, at_most, bare_programme, examples, price_lists, programmes, sheet_of, shelf_of

from optimiser.analysis.curve import Walk
from optimiser.analysis.stretches import Stretch, narrowed, stretch_at
from optimiser.model.moving import Moving, moving
from optimiser.model.programme import Programme, build
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


# -- programmes of arrays alone --------------------------------------------------------------------------------------


def at_vertex(family: Moving, limit: float) -> Stretch:
    """The stretch that the solver's vertex at a limit gives."""
    live = Vertices(family.programme_at(limit))
    assert least_ratio(live) is not None
    basis = live.basis()
    assert basis is not None
    stretch = stretch_at(family, basis, limit)
    assert stretch is not None
    return stretch


def dear_third(theta: float) -> Programme:
    """Two cheap columns, the second dearer but heavier when cured, and at least theta of a third that is very dear."""
    return bare_programme(
        [[1.0, 1.0, 1.0], [0.0, 0.0, 1.0]], [1.0, theta], [1.0, np.inf], [1.0, 1.6, 10.0], cured=[1.0, 1.5, 1.0]
    )


def test_a_stretch_ends_where_another_column_pays() -> None:
    """A dearer but heavier column pays once the cost per kilo has risen to 1.2: that end is the dual one, worked out by hand.

    With x of the first and theta of the third r = 1 + 9 theta, and 1.6 - 1.5 r < 1 - r from r = 1.2 on.
    """
    (family,) = moving(dear_third, 0.0, 0.5)
    first = at_vertex(family, 0.01)
    assert first.high == pytest.approx(0.2 / 9.0, abs=1e-9)
    assert first.cost(0.01) == pytest.approx(1.09)
    second = at_vertex(family, 0.1)
    assert second.low == pytest.approx(0.2 / 9.0, abs=1e-9)
    assert second.cost(0.1) == pytest.approx((1.6 * 0.9 + 1.0) / (1.5 * 0.9 + 0.1))


def test_a_walk_goes_past_where_another_column_pays() -> None:
    """Just past a dual end the solver may still say the old vertex: the walk finds the new one, and tells the cost of both."""
    families = moving(dear_third, 0.0, 0.5)
    found = Walk(families=families, up=1, ask=lambda _: None, written_end=lambda: None).along(0.0, 0.5)
    assert [one.high for one in found.stretches] == pytest.approx([0.2 / 9.0, 0.5], abs=1e-6)
    assert all(one.exact for one in found.stretches)


def share_of_two(theta: float) -> Programme:
    """At least theta of a + 2 b is a, a fifth is c, and b is 0.7 at most: the matrix moves with theta."""
    return bare_programme(
        [[1.0, 1.0, 1.0], [1.0 - theta, -2.0 * theta, 0.0], [0.0, 0.0, 1.0], [0.0, 1.0, 0.0]],
        [1.0, 0.0, 0.2, -np.inf],
        [1.0, np.inf, np.inf, 0.7],
        [3.0, 1.0, 9.0],
    )


def test_a_limit_on_a_ratio_moves_a_vertex_along_a_fraction() -> None:
    """By hand a is 1.6 theta / (1 + theta), down to where b reaches its 0.7 at theta = 1/15."""
    (family,) = moving(share_of_two, 0.02, 0.9)
    stretch = at_vertex(family, 0.5)
    assert stretch.low == pytest.approx(1.0 / 15.0, abs=1e-9)
    assert stretch.high == pytest.approx(0.9)
    for theta in (0.1, 0.5, 0.8):
        a = 1.6 * theta / (1.0 + theta)
        assert stretch.point(theta) == pytest.approx([a, 0.8 - a, 0.2])
        assert stretch.cost(theta) == pytest.approx(3.0 * a + (0.8 - a) + 1.8)


def test_a_column_at_its_bound_stays_there_while_the_matrix_moves() -> None:
    """The same with a fifth of c because that is all there is of it: a column at its upper bound, not a row."""

    def build(theta: float) -> Programme:
        return bare_programme(
            [[1.0, 1.0, 1.0], [1.0 - theta, -2.0 * theta, 0.0], [0.0, 1.0, 0.0]],
            [1.0, 0.0, -np.inf],
            [1.0, np.inf, 0.7],
            [3.0, 1.0, 0.5],
            column_high=[1.0, 1.0, 0.2],
        )

    (family,) = moving(build, 0.02, 0.9)
    stretch = at_vertex(family, 0.5)
    assert stretch.low == pytest.approx(1.0 / 15.0, abs=1e-9)
    for theta in (0.1, 0.5, 0.8):
        a = 1.6 * theta / (1.0 + theta)
        assert stretch.point(theta) == pytest.approx([a, 0.8 - a, 0.2])
        assert stretch.cost(theta) == pytest.approx(3.0 * a + (0.8 - a) + 0.1)


@settings(max_examples=examples(60), deadline=None)
@given(programmes(cured=True), st.integers(0, 2**31), st.booleans())
def test_stretches_of_random_programmes(made: Programme, seed: int, is_ratio: bool) -> None:  # noqa: FBT001
    """Whatever the rows, a stretch is the least cost at its ends and in it, and not beyond them."""
    rng = np.random.default_rng(seed)
    assume(len(made.matrix) > 1)
    row = int(rng.integers(1, len(made.matrix)))
    bottom = rng.uniform(0.5, 2.0, len(made.money)) if is_ratio else np.zeros(len(made.money))
    sign = 1.0 if np.isfinite(made.row_low[row]) else -1.0
    begun = made.row_low[row] if sign > 0.0 else made.row_high[row]

    def build(theta: float) -> Programme:
        matrix, low, high = made.matrix.copy(), made.row_low.copy(), made.row_high.copy()
        matrix[row] = made.matrix[row] - theta * bottom
        side = low if sign > 0.0 else high
        side[row] = 0.0 if is_ratio else theta
        return replace(made, matrix=matrix, row_low=low, row_high=high)

    middle = begun / float(bottom @ np.full(len(bottom), 1.0 / len(bottom))) if is_ratio else begun
    (family,) = moving(build, middle - 30.0, middle + 30.0)
    live = Vertices(family.programme_at(middle))
    assume(least_ratio(live) is not None)
    basis = live.basis()
    assert basis is not None
    stretch = stretch_at(family, basis, middle)
    assume(stretch is not None)
    assert stretch is not None
    for limit in (stretch.low, 0.5 * (stretch.low + stretch.high), stretch.high):
        cold = least_ratio(Live(family.programme_at(limit)))
        assert cold is None or stretch.cost(limit) == pytest.approx(cold.ratio, rel=1e-7)
    for end, way in ((stretch.low, -1.0), (stretch.high, 1.0)):
        beyond = end + 0.3 * way
        if family.low < beyond < family.high:
            programme, point = family.programme_at(beyond), stretch.point(beyond)
            cold = least_ratio(Live(programme))
            activity = programme.matrix @ point
            broken = (activity < programme.row_low - 1e-9).any() or (activity > programme.row_high + 1e-9).any()
            broken = broken or (point < -1e-9).any() or (point > 1.0 + 1e-9).any()
            assert broken or cold is None or stretch.cost(beyond) > cold.ratio
