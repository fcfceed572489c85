"""Our answers against scipy's linprog, stated here from the reference figures, and against all vertices of tiny shelves."""

from __future__ import annotations

from itertools import combinations

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from scipy.optimize import linprog
from strategies import PLAIN, at_least, at_most, exactly, examples, price_lists, programmes, sheet_of, shelf_of

from optimiser.answers.blend import answer_for
from optimiser.answers.results import Blend
from optimiser.materials.fat_table import reference
from optimiser.measures.profiles import fat_values
from optimiser.model.programme import Programme
from optimiser.solve.solver import Live

NAOH, KOH = 39.997, 56.106  # g/mol
SODIUM, PURITY, CURED = 2.4, 0.98, 0.9


def alone(prices: dict[str, float], superfat: float = 5.0) -> tuple[np.ndarray, np.ndarray]:
    """Money and cured weight of a kilo of each fat alone with its own alkali, worked out here: both are linear in shares."""
    values = np.array([reference().get(name).saponification.value for name in prices])
    alkali = (1.0 - superfat / 100.0) * values / KOH * NAOH / 1000.0
    return np.array(list(prices.values())) + alkali * SODIUM / PURITY, (1.0 + alkali) / CURED


def cheapest_by_linprog(prices: dict[str, float], iodine: float, saturated: float) -> float | None:
    """Least cost per kilo cured under a most iodine value and a least share of saturated acids (Charnes & Cooper 1962).

    The ratio becomes linear with z = t x and t scaled so that the cured weight is one (doi:10.1002/nav.3800090303).
    """
    money, cured = alone(prices)
    fats = [reference().get(name) for name in prices]
    values = np.array([fat.iodine.value for fat in fats])
    hard = np.array(
        [sum(part for acid, part in fat.acids.items() if acid.split("-")[0].endswith(":0")) for fat in fats]
    )
    done = linprog(
        money,
        A_ub=np.vstack([values - iodine, saturated - hard]),
        b_ub=[0.0, 0.0],
        A_eq=cured[None, :],
        b_eq=[1.0],
        bounds=[(0.0, None)] * len(prices),
        method="highs-ds",
    )
    return float(done.fun) if done.status == 0 else None


@settings(max_examples=examples(40))
@given(price_lists(3, 12), st.integers(20, 110), st.integers(5, 70))
def test_whole_answers_against_linprog(prices: dict[str, float], iodine: int, saturated: int) -> None:
    """The cheapest bar by our road is the cheapest by another statement of the same question in another tool."""
    sheet = sheet_of(at_most("iodine_value", float(iodine)), at_least("saturated", float(saturated)))
    found = answer_for(sheet, shelf_of(prices))
    other = cheapest_by_linprog(prices, iodine, saturated)
    assert isinstance(found, Blend) == (other is not None)
    if isinstance(found, Blend):
        assert found.cost.per_kg == pytest.approx(other, rel=1e-6)


@settings(max_examples=examples(60))
@given(programmes(surely_feasible=False))
def test_programmes_against_linprog(made: Programme) -> None:
    """On random programmes both find the same optimum, or both find none."""
    upper, lower = np.isfinite(made.row_high[1:]), np.isfinite(made.row_low[1:])
    table = np.vstack([made.matrix[1:][upper], -made.matrix[1:][lower]])
    right = np.concatenate([made.row_high[1:][upper], -made.row_low[1:][lower]])
    done = linprog(
        made.money,
        A_ub=table if len(right) else None,
        b_ub=right if len(right) else None,
        A_eq=made.matrix[:1],
        b_eq=[1.0],
        bounds=[(0.0, 1.0)] * len(made.money),
    )
    ours = Live(made).minimise()
    assert ours.feasible == (done.status == 0)
    if ours.feasible:
        assert ours.objective == pytest.approx(done.fun, abs=1e-8)


def vertices(table: np.ndarray, right: np.ndarray) -> list[np.ndarray]:
    """Every vertex of {x >= 0, sum x = 1, table x <= right}, by trying every set of tight rows."""
    n = table.shape[1]
    rows = np.vstack([table, -np.eye(n)])
    ends = np.concatenate([right, np.zeros(n)])
    out = []
    for tight in combinations(range(len(rows)), n - 1):
        square = np.vstack([np.ones(n), rows[list(tight)]])
        if abs(np.linalg.det(square)) < 1e-9:
            continue
        point = np.linalg.solve(square, np.concatenate([[1.0], ends[list(tight)]]))
        if np.all(rows @ point <= ends + 1e-9):
            out.append(point)
    return out


@settings(max_examples=examples(40))
@given(price_lists(2, 4, PLAIN), st.integers(20, 75), st.integers(20, 110))
def test_tiny_shelves_against_all_their_vertices(prices: dict[str, float], hardness: int, iodine: int) -> None:
    """A ratio of linear figures is least at a vertex: of all vertices the cheapest is our answer, to a millionth."""
    fats = [reference().get(name) for name in prices]
    hard = fat_values(fats, ["hardness"])[0]
    demand = np.array([fat.saponification.value for fat in fats]) / KOH
    alkali = 0.95 * demand * NAOH / 1000.0
    water = 1000.0 * alkali * 67.0 / 33.0
    hard = hard - 0.38 * (5.0 * demand / 3.45 - 5.0) - 0.1 * (water - 280.0) / 10.0  # free oil and water
    values = np.array([fat.iodine.value for fat in fats])
    corners = vertices(np.vstack([-hard, values]), np.array([-float(hardness), float(iodine)]))
    money, cured = alone(prices)
    sheet = sheet_of(at_least("hardness", float(hardness)), at_most("iodine_value", float(iodine)))
    found = answer_for(sheet, shelf_of(prices))
    assert isinstance(found, Blend) == bool(corners)
    if isinstance(found, Blend):
        assert found.cost.per_kg == pytest.approx(min(money @ x / (cured @ x) for x in corners), rel=1e-6)


@settings(max_examples=examples(30))
@given(price_lists(2, 5, PLAIN), st.floats(0.0, 12.0), st.floats(26.0, 40.0))
def test_a_blend_given_whole_costs_what_a_sum_says(prices: dict[str, float], superfat: float, lye: float) -> None:
    """Where every share is given the answer is that blend, and its cost is the plain sum."""
    assume(len(prices) >= 2)
    part = 100.0 / len(prices)
    shares = tuple(exactly(name, part, "fat") for name in list(prices)[:-1])
    sheet = sheet_of(exactly("superfat", superfat), exactly("lye_concentration", lye), shares=shares)
    found = answer_for(sheet, shelf_of(prices))
    assert isinstance(found, Blend)
    money, cured = alone(prices, superfat)
    assert found.cost.per_kg == pytest.approx(money.sum() / cured.sum(), rel=1e-7)
