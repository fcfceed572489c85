"""Our PuLP statement taken to another solver (CBC, COIN-OR): the same optimum, whole numbers or not."""

from __future__ import annotations

import warnings

import pulp
import pytest
from hypothesis import given, settings
from strategies import Bar, at_least, at_most, bars, examples, programmes, sheet_of, shelf_of

from optimiser.model.programme import Programme, build
from optimiser.solve.solver import Live
from optimiser.solve.stating import statement

PRICES = {"palm oil": 2.0, "olive oil": 7.0, "coconut oil": 3.0, "castor oil": 5.0, "rapeseed oil": 2.1}


def by_cbc(made: Programme) -> float | None:
    """The least money by CBC, or None where there is no blend."""
    problem = statement(made)
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", DeprecationWarning)
        status = problem.solve(pulp.PULP_CBC_CMD(msg=0))
    return float(pulp.value(problem.objective)) if status == pulp.LpStatusOptimal else None


@settings(max_examples=examples(12))
@given(programmes(surely_feasible=False))
def test_random_programmes(made: Programme) -> None:
    """On random programmes both solvers find the same optimum, or both none."""
    ours, theirs = Live(made).minimise(), by_cbc(made)
    assert ours.feasible == (theirs is not None)
    if ours.feasible:
        assert ours.objective == pytest.approx(theirs, abs=1e-6)


@settings(max_examples=examples(8))
@given(bars(most_fats=6))
def test_goal_sheets(bar: Bar) -> None:
    """On whole goal sheets both find the same least money for a kilo of fats."""
    made = build(bar.sheet, bar.shelf)
    assert Live(made).minimise().objective == pytest.approx(by_cbc(made), abs=1e-6)


@pytest.mark.parametrize("number", [1, 2, 3])
def test_counted_fats(number: int) -> None:
    """With fats counted and a least share for each, both find the same least money."""
    counts = (at_most("number of fats", float(number), "count"), at_least("each fat", 12.0, "count"))
    sheet = sheet_of(at_least("hardness", 40.0), at_most("iodine_value", 70.0), fat_count=counts)
    made = build(sheet, shelf_of(PRICES))
    ours, theirs = Live(made).minimise(), by_cbc(made)
    assert ours.feasible == (theirs is not None)
    if ours.feasible:
        assert ours.objective == pytest.approx(theirs, abs=1e-6)
