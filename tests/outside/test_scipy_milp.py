"""Counted fats against scipy's milp over our arrays, and against every choice of fats tried one by one."""

from __future__ import annotations

from itertools import combinations

import numpy as np
import pytest
from hypothesis import given, settings
from scipy.optimize import Bounds, LinearConstraint, milp
from strategies import Bar, at_least, at_most, bars, examples, sheet_of

from optimiser.model.programme import build
from optimiser.solve.optimum import solve
from optimiser.solve.solver import Live


@settings(max_examples=examples(15))
@given(bars(counted=True, most_fats=7))
def test_against_milp(bar: Bar) -> None:
    """The least money for a kilo of fats with fats counted is what scipy's milp finds."""
    made = build(bar.sheet, bar.shelf)
    done = milp(
        made.money,
        constraints=LinearConstraint(made.matrix, made.row_low, made.row_high),
        bounds=Bounds(made.column_low, made.column_high),
        integrality=made.integer.astype(int),
    )
    ours = Live(made).minimise()
    assert ours.feasible == (done.status == 0)
    assert ours.objective == pytest.approx(done.fun, abs=1e-6)


@settings(max_examples=examples(12))
@given(bars(most_fats=5))
def test_against_every_choice_of_fats(bar: Bar) -> None:
    """Of all choices of two fats the cheapest bar is the counted answer, cost per kilo cured and all."""
    counted = bar.sheet._replace(fat_count=(at_most("number of fats", 2.0, "count"),))
    _, found = solve(build(counted, bar.shelf))
    costs = []
    for pair in combinations(bar.shelf.fats, 2):
        _, one = solve(build(bar.sheet, bar.shelf._replace(fats=pair)))
        if one is not None:
            costs.append(one.ratio)
    assert (found is None) == (not costs)
    if found is not None:
        assert found.ratio == pytest.approx(min(costs), rel=1e-6)


def test_a_least_share_is_kept_or_nothing_is_there() -> None:
    """Every share is none or at least what was asked for."""
    from strategies import shelf_of

    prices = {"palm oil": 2.0, "olive oil": 7.0, "coconut oil": 3.0, "castor oil": 5.0, "rapeseed oil": 2.1}
    sheet = sheet_of(at_most("iodine_value", 60.0), fat_count=(at_least("each fat", 22.0, "count"),))
    made = build(sheet, shelf_of(prices))
    _, found = solve(made)
    assert found is not None
    shares = 100.0 * found.point[: made.columns.count]
    assert np.all((shares < 1e-5) | (shares > 22.0 - 1e-5))
