"""One function for each front end: a blend in arrays goes in, its least cost comes out."""

from __future__ import annotations

from collections.abc import Callable
from time import perf_counter

import highspy
import numpy as np

from optimiser.model.programme import Programme
from optimiser.solve.proof import lower_bound
from optimiser.solve.solver import Live

INF = np.inf


def ours(blend: Programme) -> float:
    """Ours: the arrays looked over and handed to HiGHS, solved with our settings, the point read, the bound proved."""
    return ours_in_parts(blend)[0]


def ours_in_parts(blend: Programme) -> tuple[float, float, float, float]:
    """The same: the least cost, and the seconds that loading, solving and proving took.

    Raises:
        RuntimeError: the exact bound is further from the cost than rounding.
    """
    begin = perf_counter()
    live = Live(blend)
    loaded = perf_counter()
    outcome = live.minimise()
    solved = perf_counter()
    bound = lower_bound(blend, blend.money, outcome.row_dual)
    proved = perf_counter()
    if outcome.objective - float(bound) > 1e-6 * max(1.0, abs(outcome.objective)):
        raise RuntimeError("not proved")
    return outcome.objective, loaded - begin, solved - loaded, proved - solved


def raw_highspy(blend: Programme) -> float:
    """HiGHS by hand with its own defaults: the yardstick.

    The entries that are not zero are handed over in the quickest way that highspy has, whole arrays in one call; a
    ``HighsLp`` filled field by field takes longer.
    """
    m, n = blend.matrix.shape
    model = highspy.Highs()
    model.setOptionValue("output_flag", False)
    filled = blend.matrix != 0.0
    starts = np.concatenate([[0], np.cumsum(np.count_nonzero(filled, axis=1))]).astype(np.int32)
    index = np.broadcast_to(np.arange(n, dtype=np.int32), (m, n))[filled]
    model.passModel(
        n,
        m,
        len(index),
        int(highspy.MatrixFormat.kRowwise),
        int(highspy.ObjSense.kMinimize),
        0.0,
        blend.money,
        blend.column_low,
        blend.column_high,
        blend.row_low,
        blend.row_high,
        starts[:-1],
        index,
        blend.matrix[filled],
        np.zeros(n, dtype=np.int32),
    )
    model.run()
    return float(model.getInfo().objective_function_value)


def _pulp(blend: Programme, make_solver: Callable[..., object]) -> float:
    import pulp

    _, n = blend.matrix.shape
    problem = pulp.LpProblem("blend", pulp.LpMinimize)
    x = [problem.add_variable(f"x{j}", 0, 1) for j in range(n)]
    problem += pulp.LpAffineExpression(zip(x, blend.money.tolist(), strict=True))
    for i, (row, low, high) in enumerate(
        zip(blend.matrix.tolist(), blend.row_low.tolist(), blend.row_high.tolist(), strict=True)
    ):
        expression = pulp.LpAffineExpression(zip(x, row, strict=True))
        if low == high:
            problem += expression == low, f"r{i}"
        elif low > -INF:
            problem += expression >= low, f"r{i}"
        else:
            problem += expression <= high, f"r{i}"
    problem.solve(make_solver(pulp))
    return float(pulp.value(problem.objective))


def pulp_highs(blend: Programme) -> float:
    """PuLP with whole expressions (quicker than its documentation's sums of products), its own HiGHS plug-in."""
    return _pulp(blend, lambda pulp: pulp.HiGHS(msg=False))


def pulp_cbc(blend: Programme) -> float:
    """PuLP with the solver that it brings along."""
    return _pulp(blend, lambda pulp: pulp.PULP_CBC_CMD(msg=False))


def _sides(blend: Programme) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    equal = blend.row_low == blend.row_high
    return equal, (blend.row_low > -INF) & ~equal, (blend.row_high < INF) & ~equal


def scipy_linprog(blend: Programme) -> float:
    """scipy.optimize.linprog, method highs."""
    from scipy.optimize import linprog

    equal, low, high = _sides(blend)
    result = linprog(
        blend.money,
        A_ub=np.vstack([-blend.matrix[low], blend.matrix[high]]),
        b_ub=np.concatenate([-blend.row_low[low], blend.row_high[high]]),
        A_eq=blend.matrix[equal],
        b_eq=blend.row_low[equal],
        bounds=np.column_stack([blend.column_low, blend.column_high]),
        method="highs",
    )
    return float(result.fun)


def pyomo_highs(blend: Programme) -> float:
    """Pyomo with its HiGHS interface."""
    import pyomo.environ as pyo

    m, n = blend.matrix.shape
    model = pyo.ConcreteModel()
    model.x = pyo.Var(range(n), bounds=(0.0, 1.0))
    model.cost = pyo.Objective(expr=pyo.quicksum(c * model.x[j] for j, c in enumerate(blend.money.tolist())))
    model.rows = pyo.ConstraintList()
    for i in range(m):
        body = pyo.quicksum(a * model.x[j] for j, a in enumerate(blend.matrix[i].tolist()))
        low, high = float(blend.row_low[i]), float(blend.row_high[i])
        model.rows.add(body == low if low == high else body >= low if low > -INF else body <= high)
    pyo.SolverFactory("appsi_highs").solve(model)
    return float(pyo.value(model.cost))


def cvxpy_highs(blend: Programme) -> float:
    """The modelling library cvxpy, with HiGHS."""
    import cvxpy as cp

    equal, low, high = _sides(blend)
    x = cp.Variable(blend.matrix.shape[1])
    rows = [
        x >= 0,
        x <= 1,
        blend.matrix[equal] @ x == blend.row_low[equal],
        blend.matrix[low] @ x >= blend.row_low[low],
        blend.matrix[high] @ x <= blend.row_high[high],
    ]
    problem = cp.Problem(cp.Minimize(blend.money @ x), rows)
    problem.solve(solver="HIGHS")
    return float(problem.value)


def linopy_highs(blend: Programme) -> float:
    """The modelling library linopy, with HiGHS handed arrays directly."""
    import linopy
    import pandas as pd
    import xarray as xr

    m, n = blend.matrix.shape
    fats, names = pd.RangeIndex(n, name="fat"), pd.RangeIndex(m, name="row")
    matrix = xr.DataArray(blend.matrix, coords=[names, fats])
    model = linopy.Model()
    x = model.add_variables(lower=0, upper=xr.DataArray(np.ones(n), coords=[fats]), name="x")
    equal, low, high = _sides(blend)
    for name, sign, right, mask in (
        ("equal", "=", blend.row_low, equal),
        ("low", ">=", blend.row_low, low),
        ("high", "<=", blend.row_high, high),
    ):
        part = matrix.isel(row=np.flatnonzero(mask))
        limits = xr.DataArray(right[mask], coords=[part.indexes["row"]])
        model.add_constraints((part * x).sum("fat"), sign, limits, name=name)
    model.add_objective((xr.DataArray(blend.money, coords=[fats]) * x).sum())
    model.solve("highs", io_api="direct", output_flag=False)
    return float(model.objective.value)


PEERS: dict[str, Callable[[Programme], float]] = {
    "raw highspy, its defaults": raw_highspy,
    "barwright: load + solve + proof": ours,
    "scipy linprog": scipy_linprog,
    "cvxpy + HiGHS": cvxpy_highs,
    "PuLP + HiGHS": pulp_highs,
    "PuLP + CBC": pulp_cbc,
    "Pyomo + HiGHS": pyomo_highs,
    "linopy + HiGHS": linopy_highs,
}
YARDSTICK = "raw highspy, its defaults"
