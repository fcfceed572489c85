"""Dinkelbach's iteration against a bisection of the ratio with another solver."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from scipy.optimize import linprog
from strategies import Bar, bars, examples, programmes

from optimiser.model.programme import Programme, build
from optimiser.solve.optimum import least_ratio, solve
from optimiser.solve.solver import Live


def least_by_bisection(made: Programme, width: float = 1e-9) -> float:
    """The ratio at which the least of N - r M over the programme turns from above to below zero, by scipy's linprog."""
    upper, lower = np.isfinite(made.row_high), np.isfinite(made.row_low)
    equal = upper & lower & (made.row_low == made.row_high)
    table = np.vstack([made.matrix[upper & ~equal], -made.matrix[lower & ~equal]])
    right = np.concatenate([made.row_high[upper & ~equal], -made.row_low[lower & ~equal]])
    bounds = list(zip(made.column_low.tolist(), made.column_high.tolist(), strict=True))

    def least(ratio: float) -> float:
        done = linprog(
            made.money - ratio * made.cured,
            A_ub=table if len(table) else None,
            b_ub=right if len(table) else None,
            A_eq=made.matrix[equal] if equal.any() else None,
            b_eq=made.row_low[equal] if equal.any() else None,
            bounds=bounds,
        )
        assert done.status == 0
        return float(done.fun)

    low, high = 0.0, 100.0
    while high - low > width:
        middle = (low + high) / 2.0
        low, high = (middle, high) if least(middle) > 0 else (low, middle)
    return (low + high) / 2.0


@settings(max_examples=examples(15))
@given(programmes(cured=True))
def test_least_ratio_of_random_programmes(made: Programme) -> None:
    """On random programmes the two ways agree to a ten-millionth."""
    found = least_ratio(Live(made))
    assert found is not None
    assert found.ratio == pytest.approx(least_by_bisection(made), abs=1e-7)


@settings(max_examples=examples(10))
@given(bars(most_fats=7))
def test_least_cost_per_kilo_of_bars(bar: Bar) -> None:
    """On whole goal sheets, alkali, water and all, the two ways agree to a ten-millionth."""
    made = build(bar.sheet, bar.shelf)
    _, found = solve(made)
    assert found is not None
    assert found.ratio == pytest.approx(least_by_bisection(made), abs=1e-7)
