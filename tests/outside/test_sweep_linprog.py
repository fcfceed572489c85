"""Every scenario of a small sweep against scipy's linear programming (`scipy.optimize.linprog`), which shares nothing with ours.

The ratio is made linear by the transformation of Charnes & Cooper (Naval Research Logistics Quarterly 9 (1962) 181-186,
doi:10.1002/nav.3800090303): y = t v with t > 0 and M.y = 1.
"""

from __future__ import annotations

import numpy as np
import pytest
from scipy.optimize import linprog
from sweeping import programme, random_prices

from optimiser.analysis.repricing import reprice
from optimiser.analysis.sweep_start import begin
from optimiser.analysis.swept import Swept
from optimiser.maths.arrays import Vector


def least_by_scipy(arrays: Swept, money: Vector) -> float:
    """The least cost per kilo, by another solver and another way to make a ratio linear."""
    n = len(money)
    upper = np.isfinite(arrays.row_high) & (arrays.row_high != arrays.row_low)
    lower = np.isfinite(arrays.row_low) & (arrays.row_high != arrays.row_low)
    equal = arrays.row_high == arrays.row_low
    columns = np.vstack([np.eye(n), -np.eye(n)])
    rows = np.vstack([arrays.matrix[upper], -arrays.matrix[lower], columns])
    limits = np.concatenate([arrays.row_high[upper], -arrays.row_low[lower], arrays.column_high, -arrays.column_low])
    found = linprog(
        np.append(money, 0.0),
        A_ub=np.hstack([rows, -limits[:, None]]),
        b_ub=np.zeros(len(rows)),
        A_eq=np.vstack(
            [
                np.hstack([arrays.matrix[equal], -arrays.row_low[equal][:, None]]),
                np.append(arrays.cured, 0.0)[None, :],
            ]
        ),
        b_eq=np.append(np.zeros(int(equal.sum())), 1.0),
        bounds=(0, None),
        method="highs-ds",
    )
    assert found.status == 0
    return float(found.fun)


@pytest.mark.parametrize("name", ["budget", "fine-swirl", "palm-free-vegetable"])
@pytest.mark.parametrize("spread", [0.05, 0.4])
def test_every_scenario_costs_what_scipy_finds(name: str, spread: float) -> None:
    """Twenty-five scenarios each, to a ten-millionth."""
    arrays, _ = programme(name)
    prices = random_prices(name, 25, spread)
    found = reprice(begin(arrays, prices[:5]).pool(), prices)
    for each, cost in zip(prices, found.costs.tolist(), strict=True):
        assert cost == pytest.approx(least_by_scipy(arrays, arrays.at(each)), rel=1e-7)
