"""An infeasibility certificate re-verified in a few lines of rational arithmetic that share nothing with the program's own.

Farkas' lemma: weights y of rows a.x <= b with y >= 0, sum y a >= 0 over every column x >= 0 and y.b < 0 show that no x
is there (Schrijver, Theory of Linear and Integer Programming, section 7.3, from memory).
"""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import assume, given, settings
from strategies import Bar, at_least, at_most, bars, examples, sheet_of, shelf_of

from optimiser.analysis.conflicts import all_clashes
from optimiser.model.programme import Programme, build
from optimiser.solve.solver import Live


def refutes(made: Programme, ray: list[float]) -> bool:
    """Whether weights refute the rows: the least that sum y a.x can be over the box is above the most that the rows allow.

    Sum over rows of y_i (a_i.x) is at least sum y_i low_i where y_i > 0 and y_i high_i where y_i < 0, for every x that
    meets the rows. If the greatest value of the left side over the box of x is below that, there is no such x.
    """
    weights = [Fraction(weight) for weight in ray]
    needed = Fraction()
    for weight, low, high in zip(weights, made.row_low.tolist(), made.row_high.tolist(), strict=True):
        if weight:
            side = low if weight > 0 else high
            if side in (float("inf"), float("-inf")):
                return False
            needed += weight * Fraction(side)
    most = Fraction()
    for column, upper in zip(made.matrix.T.tolist(), made.column_high.tolist(), strict=True):
        total = sum((weight * Fraction(entry) for weight, entry in zip(weights, column, strict=True)), Fraction())
        most += max(Fraction(), total * Fraction(upper))
    return most < needed


def ray_of(made: Programme) -> list[float] | None:
    """The solver's weights with crumbs on sides without a limit left out; None where a blend exists."""
    live = Live(made)
    if live.minimise().feasible:
        return None
    ray = live.ray()
    assert ray is not None
    size = max(abs(weight) for weight in ray.tolist())
    return [0.0 if abs(weight) < 1e-9 * size else weight for weight in ray.tolist()]


@settings(max_examples=examples(60))
@given(bars(least_slack=-3.0, most_fats=5, most_limits=8))
def test_what_is_called_impossible_is_refuted_here_too(bar: Bar) -> None:
    """For goals without a blend the solver's weights refute the rows exactly, and the clash told has a margin."""
    made = build(bar.sheet, bar.shelf)
    ray = ray_of(made)
    assume(ray is not None)
    assert ray is not None
    assert refutes(made, ray)
    (clash,) = all_clashes(made, most=1).clashes
    assert clash.exact


def test_the_checker_can_say_no() -> None:
    """Weights that refute one programme do not refute it with the limit taken back."""
    shelf = shelf_of({"palm oil": 2.0, "olive oil": 7.0})
    bad = build(sheet_of(at_least("iodine_value", 90.0)), shelf)
    good = build(sheet_of(at_least("iodine_value", 60.0)), shelf)
    ray = ray_of(bad)
    assert ray is not None
    assert refutes(bad, ray)
    assert not refutes(good, ray)
    assert ray_of(good) is None


@pytest.mark.parametrize(
    "goals", [(at_least("hardness", 80.0),), (at_least("hardness", 60.0), at_most("hardness", 50.0))]
)
def test_plain_cases(goals: tuple) -> None:  # type: ignore[type-arg]
    """A bar harder than any fat, and a bar both hard and soft, are refuted."""
    made = build(sheet_of(*goals), shelf_of({"olive oil": 7.0, "palm oil": 2.0}))
    ray = ray_of(made)
    assert ray is not None
    assert refutes(made, ray)
