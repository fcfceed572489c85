"""Cost curves against scipy's linprog asked anew at 300 limits, each question stated as Charnes and Cooper's linear programme.

A. Charnes and W. W. Cooper, Programming with linear fractional functionals, Naval Research Logistics Quarterly 9 (1962)
181-186, doi:10.1002/nav.3800090303: with z = t x and t scaled so that the cured weight is one, the ratio becomes linear.
Nothing of `solve` or of the walk is used: the rows are those of the model, and the moved one is written down here.
"""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from scipy.optimize import linprog

import optimiser
from optimiser.answers.curve_values import Curve
from optimiser.files.question import read_question
from optimiser.measures.quantities import find_quantity
from optimiser.measures.shares import share_named
from optimiser.measures.sides import Side, SubjectKind
from optimiser.model.programme import Programme, build
from optimiser.problem.moved_limit import at_figure, limit_on, of_key, with_limit

ROOT = Path(__file__).parents[2]
GRID = 300
CURVES = (
    ("budget", "hardness", "at_least"),
    ("budget", "palm", "at_most"),
    ("budget", "superfat", "at_least"),
    ("fine-swirl", "superfat", "at_least"),
    ("palm-free-vegetable", "hardness", "at_least"),
    ("budget", "rancidity", "at_most"),
)


def charnes_cooper(programme: Programme, moved: dict[int, tuple[np.ndarray, float, float]]) -> float | None:
    """Least money per kilo cured; `moved` are rows in place of those of the programme: coefficients, low and high."""
    matrix, low, high = programme.matrix.copy(), programme.row_low.copy(), programme.row_high.copy()
    for place, (row, at_least, at_most) in moved.items():
        matrix[place, : len(row)], low[place], high[place] = row, at_least, at_most
    column_high = programme.column_high.copy()
    for preference in programme.soft:
        column_high[list(preference.shortfalls)] = 0.0
    above, below = np.isfinite(low), np.isfinite(high)
    upper = np.isfinite(column_high)
    size = len(programme.money)
    caps = np.eye(size)[upper]
    bounded = np.vstack(
        [
            np.column_stack([-matrix[above], low[above]]),
            np.column_stack([matrix[below], -high[below]]),
            np.column_stack([caps, -column_high[upper]]),
        ]
    )
    done = linprog(
        np.append(programme.money, 0.0),
        A_ub=bounded,
        b_ub=np.zeros(len(bounded)),
        A_eq=np.append(programme.cured, 0.0)[None, :],
        b_eq=[1.0],
        bounds=[(0.0, None)] * (size + 1),
        method="highs-ds",
        options={"primal_feasibility_tolerance": 1e-10, "dual_feasibility_tolerance": 1e-10},
    )
    return float(done.fun) if done.status == 0 else None


def moved_rows(programme: Programme, key: str, side: str, limit: float) -> dict[int, tuple[np.ndarray, float, float]]:
    """The row of the limit that moves, written down for a figure."""
    found = {}
    for place, row in enumerate(programme.rows):
        if row.figure == key and str(row.side) == side and row.wish.section in ("goals", "shares"):
            right = limit if row.bottom is None else 0.0
            coefficients = row.top if row.bottom is None else row.top - limit * row.bottom
            found[place] = (
                coefficients,
                right if side == "at_least" else -np.inf,
                right if side == "at_most" else np.inf,
            )
    return found


def asked(name: str, key: str, side: str) -> Programme:
    """The rows of a goal file with a limit on the key, at a figure that does not matter here."""
    question = read_question(ROOT / "goals" / f"{name}.yaml")
    quantity = find_quantity(key)
    subject = SubjectKind.QUANTITY if quantity is not None else (share_named(key) or ("", SubjectKind.FAT))[1]
    held = [one for one in of_key(question.goals, key, subject) if str(one.side) == side]
    unit, words = ("%", key) if quantity is None else (quantity.unit, quantity.words)
    limit = (
        held[0]
        if held
        else at_figure(limit_on(key, subject, Side(side), unit, words), 30.0 if quantity is None else 5.0)
    )
    return build(with_limit(question.goals, limit), question.shelf)


@pytest.mark.long
@pytest.mark.parametrize(("name", "key", "side"), CURVES)
def test_a_curve_is_what_linprog_says_at_300_limits(name: str, key: str, side: str) -> None:
    """At each of 300 limits the curve has the cost that another tool finds for another statement of the question."""
    curve = optimiser.tradeoff(ROOT / "goals" / f"{name}.yaml", key, side=side)
    assert isinstance(curve, Curve)
    assert curve.exact
    programme = asked(name, key, side)
    low, high = curve.points[0].limit, curve.points[-1].limit
    limits = np.linspace(low, high, GRID + 2)[1:-1].tolist()
    costs = [charnes_cooper(programme, moved_rows(programme, key, side, limit)) for limit in limits]
    assert None not in costs
    off = [abs(curve.cost_at(limit) - cost) for limit, cost in zip(limits, costs, strict=True) if cost is not None]
    assert max(off) <= 1e-7


@pytest.mark.parametrize(("name", "key", "side"), CURVES)
def test_beyond_the_end_linprog_finds_nothing(name: str, key: str, side: str) -> None:
    """Where the curve says that there is no blend, or none without a rule giving way, another tool finds none either."""
    curve = optimiser.tradeoff(ROOT / "goals" / f"{name}.yaml", key, side=side)
    assert isinstance(curve, Curve)
    ends = [end for end in curve.ends if end.why in ("blend", "rules")]
    programme = asked(name, key, side)
    step = 1e-3 if side == "at_least" else -1e-3
    beyond = [end.limit + step for end in ends]
    if not ends:
        beyond = [curve.points[-1].limit + 1e9 if side == "at_least" else curve.points[0].limit - 1e9]
    assert [charnes_cooper(programme, moved_rows(programme, key, side, limit)) for limit in beyond] == [None] * len(
        beyond
    )
