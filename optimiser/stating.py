"""The programme stated in PuLP, which any solver that PuLP knows can take."""

from __future__ import annotations

import numpy as np
import pulp

from optimiser.finite import refuse_unfinite
from optimiser.programme import Programme

SENSES = {
    (False, True): pulp.LpConstraintLE,
    (True, False): pulp.LpConstraintGE,
    (True, True): pulp.LpConstraintEQ,
}


def statement(programme: Programme) -> pulp.LpProblem:
    """The programme as a PuLP problem (objective: money), which any solver that PuLP knows can take.

    Names are our own short ones (c0001, r0001), in the order of the arrays: PuLP mangles blanks and signs.
    Expressions are built in bulk, a row at a time and without its zeros, and never copied; the objective names every
    column.

    Raises:
        SolverFault: a figure is not finite where it must be.
    """
    refuse_unfinite(programme)
    problem = pulp.LpProblem("blend", pulp.LpMinimize)
    width = len(str(max(programme.matrix.shape)))
    columns = [
        problem.add_variable(f"c{place:0{width}d}", low, high, pulp.LpInteger if whole else pulp.LpContinuous)
        for place, (low, high, whole) in enumerate(
            zip(
                programme.column_low.tolist(),
                programme.column_high.tolist(),
                programme.integer.tolist(),
                strict=True,
            )
        )
    ]
    problem.setObjective(pulp.LpAffineExpression(dict(zip(columns, programme.money.tolist(), strict=True))))
    for place, (row, low, high) in enumerate(
        zip(programme.matrix, programme.row_low.tolist(), programme.row_high.tolist(), strict=True)
    ):
        sense = SENSES[low > -np.inf, high < np.inf]
        filled = np.flatnonzero(row)
        expression = pulp.LpAffineExpression(
            {columns[at]: entry for at, entry in zip(filled.tolist(), row[filled].tolist(), strict=True)}
        )
        right = high if sense == pulp.LpConstraintLE else low
        problem.addConstraint(pulp.LpConstraint(expression, sense, rhs=right), f"r{place:0{width}d}")
    return problem
