"""A programme handed to HiGHS in one call: as it was stated, or a part of it with columns that must be whole."""

from __future__ import annotations

from functools import cache
from itertools import chain
from typing import Any

import highspy
import numpy as np
import pulp

from optimiser.maths.arrays import Mask, Vector
from optimiser.model.programme import Programme
from optimiser.solve.outcomes import SolverFault
from optimiser.solve.running import parked
from optimiser.solve.stating import refuse_unfinite

INFINITY = highspy.kHighsInf
TOLERANCE = 1e-9
PERTURBATION = "dual_simplex_cost_perturbation_multiplier"  # off: what it guards against is rarer than what it costs
MOST_STEPS = 200_000  # of the simplex, without which one that went round in circles would never end
HEURISTICS = (  # searches within the search: dearer than what they find, where fats are few and a blend is in hand
    "mip_heuristic_run_feasibility_jump",
    "mip_heuristic_run_rens",
    "mip_heuristic_run_rins",
    "mip_heuristic_run_root_reduced_cost",
)


@cache
def spend_banner() -> None:
    """Build one HiGHS out of sight: the first of a process prints two lines on file descriptor 1."""
    with parked():
        highspy.Highs()


@cache
def threads() -> int:
    """One thread where this process may still choose: on small counted programmes HiGHS's workers mostly wait.

    HiGHS fixes the number for a process at its first run and refuses another later; 0 takes what someone else fixed.
    """
    spend_banner()
    model = highspy.Highs()
    for option, value in {"output_flag": False, "threads": 1}.items():
        model.setOptionValue(option, value)
    return int(model.run() == highspy.HighsStatus.kOk)


def load(problem: pulp.LpProblem) -> Any:
    """Hand the linear programme of a statement to HiGHS in one call instead of PuLP's one for each column and row.

    Returns:
        The live ``highspy.Highs``, not yet run.
    """
    columns = problem.variables()
    rows = list(problem.constraints())
    at = {column.name: place for place, column in enumerate(columns)}
    lengths = np.fromiter((len(row) for row in rows), np.int32, len(rows))
    index = np.fromiter((at[column.name] for row in rows for column in row), np.int32, int(lengths.sum()))
    values = np.fromiter(chain.from_iterable(row.values() for row in rows), np.float64, len(index))
    sense = np.array([row.sense for row in rows])
    right = np.array([-row.constant for row in rows])
    return handed(
        np.fromiter(problem.objective.values(), np.float64, len(columns)),
        (np.array([column.lowBound for column in columns]), np.array([column.upBound for column in columns])),
        (
            np.where(sense == pulp.LpConstraintLE, -INFINITY, right),
            np.where(sense == pulp.LpConstraintGE, INFINITY, right),
        ),
        (np.concatenate([[0], np.cumsum(lengths)]), index, values),
    )


def load_part(programme: Programme) -> Any:
    """Hand a part of a programme to HiGHS, whole columns too: the search takes it out of what was stated already.

    Returns:
        The live ``highspy.Highs``, not yet run.

    Raises:
        SolverFault: a figure is not finite where it must be.
    """
    refuse_unfinite(programme)
    row, index = np.nonzero(programme.matrix)
    return handed(
        programme.money,
        (programme.column_low, programme.column_high),
        (np.maximum(programme.row_low, -INFINITY), np.minimum(programme.row_high, INFINITY)),
        (np.searchsorted(row, np.arange(len(programme.matrix) + 1)), index, programme.matrix[row, index]),
        programme.integer if programme.is_mixed_integer else None,
    )


def handed(
    cost: Vector,
    columns: tuple[Vector, Vector],
    rows: tuple[Vector, Vector],
    entries: tuple[Any, Any, Vector],
    integer: Mask | None = None,
) -> Any:
    """Give HiGHS a model as arrays: bounds of columns and rows, entries by row (starts, columns, values)."""
    with parked():
        model = highspy.Highs()
    for option, value in options(mixed=integer is not None).items():
        model.setOptionValue(option, value)
    starts, index, values = entries
    n, m = len(cost), len(rows[0])
    whole = np.zeros(n, dtype=np.int32) if integer is None else integer.astype(np.int32)
    status = model.passModel(
        n,
        m,
        len(values),
        int(highspy.MatrixFormat.kRowwise),
        int(highspy.ObjSense.kMinimize),
        0.0,
        cost,
        *columns,
        *rows,
        starts[:-1].astype(np.int32),
        index.astype(np.int32),
        values,
        whole,
    )
    if status == highspy.HighsStatus.kError:
        raise SolverFault("HiGHS refused the programme")
    return model


def options(*, mixed: bool) -> dict[str, object]:
    """Settings of HiGHS: presolve costs more than it saves on small dense programmes; counted fats leave no gap."""
    common: dict[str, object] = {
        "output_flag": False,
        "threads": threads(),
        "presolve": "off",
        PERTURBATION: 0.0,
        "simplex_iteration_limit": MOST_STEPS,
        "primal_feasibility_tolerance": TOLERANCE,
        "dual_feasibility_tolerance": TOLERANCE,
    }
    if mixed:
        return common | {
            "mip_feasibility_tolerance": TOLERANCE,
            "mip_rel_gap": 0.0,
            "mip_abs_gap": TOLERANCE,
            "mip_detect_symmetry": False,  # it is given up after a time by the clock
            "mip_pscost_minreliable": 1,  # fewer trial branchings: nodes are cheap here
            **dict.fromkeys(HEURISTICS, False),
        }
    return common
