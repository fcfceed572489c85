"""The programme stated in PuLP, for other solvers and for files that they read; HiGHS gets the arrays themselves."""

from __future__ import annotations

import numpy as np
import pulp

from optimiser.model.labels import column_labels, row_labels
from optimiser.model.programme import Programme
from optimiser.solve.finite import refuse_unfinite
from optimiser.solve.outcomes import SolverFault

SENSES = {
    (False, True): pulp.LpConstraintLE,
    (True, False): pulp.LpConstraintGE,
    (True, True): pulp.LpConstraintEQ,
}


def statement(programme: Programme) -> pulp.LpProblem:
    """The programme as a PuLP problem (objective: money), which any solver that PuLP knows can take.

    Names are the labels of columns and rows. Expressions are built in bulk, a row at a time and without its zeros, and
    never copied; the objective names every column, in the order of the arrays.

    Raises:
        SolverFault: a figure is not finite where it must be, or a row has two limits, which PuLP's have not.
    """
    refuse_unfinite(programme)
    problem = pulp.LpProblem("blend", pulp.LpMinimize)
    columns = [
        problem.add_variable(name, low, high, pulp.LpInteger if whole else pulp.LpContinuous)
        for name, low, high, whole in zip(
            column_labels(programme),
            programme.column_low.tolist(),
            programme.column_high.tolist(),
            programme.integer.tolist(),
            strict=True,
        )
    ]
    problem.setObjective(pulp.LpAffineExpression(dict(zip(columns, programme.money.tolist(), strict=True))))
    for name, row, low, high in zip(
        row_labels(programme),
        programme.matrix,
        programme.row_low.tolist(),
        programme.row_high.tolist(),
        strict=True,
    ):
        sense = SENSES.get((low > -np.inf, high < np.inf))
        if sense is None or (sense == pulp.LpConstraintEQ and low != high):
            raise SolverFault("a row with no limit, or with two, is no row of a statement")
        filled = np.flatnonzero(row)
        expression = pulp.LpAffineExpression(
            {columns[at]: entry for at, entry in zip(filled.tolist(), row[filled].tolist(), strict=True)}
        )
        right = high if sense == pulp.LpConstraintLE else low
        problem.addConstraint(pulp.LpConstraint(expression, sense, rhs=right), name)
    return problem
