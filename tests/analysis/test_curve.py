"""The walk along a curve: no gaps, few solves, traps of degenerate ends, and lines laid through answers alone."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import assume, example, given, settings
from strategies import at_least, at_most, examples, price_lists, sheet_of, shelf_of

from optimiser.analysis.curve import Walk, Walked, crossing, cut_at
from optimiser.analysis.laid_points import Laid, laid_stretches
from optimiser.analysis.stretches import State, Stretch
from optimiser.answers.moved_question import MovedQuestion
from optimiser.model.moving import moving
from optimiser.model.programme import build
from optimiser.problem.moved_limit import at_figure, with_limit
from optimiser.problem.wishes import Said
from optimiser.solve.optimum import least_ratio
from optimiser.solve.solver import Live


def straight(low: float, high: float, money: tuple[float, float]) -> Stretch:
    """A stretch along which the cost is a straight line from its low end."""
    return Stretch(low, high, low, money, (1.0, 0.0), 0.0, np.zeros(1), np.zeros(1))


def walked(prices: dict[str, float], low: float, high: float) -> tuple[MovedQuestion, Walked]:
    """The walk of a limit on saturated acids over a shelf, from one figure to another."""
    limit = at_least("saturated", low)
    sheet = sheet_of(at_most("iodine_value", 95.0))
    moved = MovedQuestion(sheet, shelf_of(prices), limit)
    families = moving(lambda value: build(with_limit(sheet, at_figure(limit, value)), moved.shelf), low, high)
    return moved, Walk(families=families, up=1, ask=moved.laid_at, written_end=lambda: None).along(low, high)


OLD_VERTEX = {  # past one end of it the solver, within its tolerance, still says the old vertex
    "palm oil": 2.11,
    "sweet almond oil": 1.72,
    "rapeseed oil": 1.71,
    "peanut oil": 1.83,
    "castor oil": 1.67,
    "olive oil": 1.77,
    "coconut oil": 2.5,
}

OLD_VERTEX_LONG = {  # the same for longer: the old vertex is dearer past its end by so little that the solver takes it for as good
    "palm oil": 2.14,
    "sweet almond oil": 1.76,
    "avocado oil": 1.83,
    "peanut oil": 1.87,
    "castor oil": 1.72,
    "olive oil": 1.82,
    "coconut oil": 2.51,
    "babassu oil": 2.45,
}


@settings(max_examples=examples(30))
@given(price_lists(4, 12))
@example(OLD_VERTEX)
@example(OLD_VERTEX_LONG)
def test_a_walk_has_no_gaps_and_two_solves_a_stretch(prices: dict[str, float]) -> None:
    """Stretches follow each other, are exact, cost the same where they meet, and took about two solves each."""
    moved, found = walked(prices, 20.0, 60.0)
    assume(len(found.stretches) > 1)
    assert all(one.high == other.low for one, other in pairwise(found.stretches))
    assert all(one.exact for one in found.stretches)
    for one, other in pairwise(found.stretches):
        assert one.cost(one.high) == pytest.approx(other.cost(other.low), abs=1e-6)
    assert found.solves <= 2 * len(found.stretches) + 4
    for one in found.stretches:
        limit = one.low + 0.31 * (one.high - one.low)
        cold = least_ratio(Live(moved.programme_at(limit)))
        assert cold is not None
        assert one.cost(limit) == pytest.approx(cold.ratio, rel=1e-9)


def test_a_walk_ends_where_there_is_no_blend() -> None:
    """Past the hardest limit there is no stretch, and the last one reaches just up to it."""
    moved, found = walked({"olive oil": 7.0, "coconut oil": 3.0, "castor oil": 5.0}, 20.0, 100.0)
    hardest = moved.hardest(moved.programme_at(20.0), 1)
    assert hardest is not None
    assert hardest < 99.0
    assert found.stretches[-1].high == pytest.approx(hardest, abs=1e-4)


def test_curves_cross_where_they_cost_the_same() -> None:
    """Two stretches cross within what both reach, or not at all."""
    rising, flat = straight(0.0, 10.0, (1.0, 0.5)), straight(2.0, 8.0, (3.0, 0.0))
    assert crossing(rising, flat, 0.0, 10.0) == pytest.approx(4.0)
    assert crossing(rising, flat, 5.0, 10.0) is None
    assert crossing(rising, straight(11.0, 12.0, (0.0, 0.0)), 0.0, 10.0) is None


def test_a_stretch_is_cut_at_its_hard_end() -> None:
    """Cut at a limit, a stretch keeps the easy side of it."""
    one = straight(0.0, 10.0, (1.0, 0.5))
    assert (cut_at(one, 4.0, 1).low, cut_at(one, 4.0, 1).high) == (0.0, 4.0)
    assert (cut_at(one, 4.0, -1).low, cut_at(one, 4.0, -1).high) == (4.0, 10.0)


def bent(limit: float) -> Laid | None:
    """An answer that curves upwards, and is none beyond 8."""
    return Laid(1.0 + 0.05 * limit * limit, np.array([limit]), State()) if limit <= 8.0 else None


def test_lines_go_through_answers() -> None:
    """Every end of a line is an answer, lines follow each other, and where the curve bends they miss it by next to nothing."""
    found = laid_stretches(bent, 0.0, 8.0, 1)
    assert (found[0].low, found[-1].high) == (0.0, 8.0)
    assert all(one.high == other.low for one, other in pairwise(found))
    for one in found[1:]:
        answer = bent(one.high)
        assert answer is not None
        assert one.cost(one.high) == pytest.approx(answer.cost, abs=1e-9)
        assert float(one.point(one.high)[0]) == pytest.approx(one.high)
    for limit in np.linspace(0.1, 7.9, 40).tolist():
        (line, *_) = [one for one in found if one.low <= limit <= one.high]
        assert line.cost(limit) == pytest.approx(1.0 + 0.05 * limit * limit, rel=2e-3)
    assert all(one.is_laid and not one.exact for one in found)


def test_lines_end_at_the_last_answer() -> None:
    """Where the end that was named has no blend, the last line ends where there is one."""
    found = laid_stretches(bent, 0.0, 9.0, 1)
    assert found[-1].high == pytest.approx(8.0, abs=1e-3)
    assert laid_stretches(bent, 9.0, 12.0, 1) == []


def test_lines_down_from_a_limit() -> None:
    """A limit that gets harder as it falls is laid downwards, and covers the same range."""
    found = sorted(laid_stretches(bent, 6.0, 1.0, -1), key=lambda one: one.low)
    assert (found[0].low, found[-1].high) == (1.0, 6.0)


def test_where_a_rule_gives_way_is_halved_out() -> None:
    """What gives way from some limit on is found within a part in two hundred of the range, and borne by the harder line."""
    rule = Said("butters")

    def ask(limit: float) -> Laid:
        return Laid(2.0, np.zeros(1), State((rule,) if limit > 3.3 else ()))

    found = laid_stretches(ask, 0.0, 8.0, 1)
    (first,) = [one for one, before in zip(found[1:], found, strict=False) if one.state != before.state]
    assert first.state.gave_way == (rule,)
    assert first.low <= 3.3 <= first.high
    assert first.high - first.low < 8.0 / 150
