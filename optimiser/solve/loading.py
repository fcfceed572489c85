"""The arrays of a programme handed to HiGHS in one call, column by column as HiGHS itself keeps them."""

from __future__ import annotations

from functools import cache
from typing import Any

import highspy
import numpy as np
import numpy.typing as npt

from optimiser.maths.arrays import Matrix, Vector
from optimiser.model.programme import Programme
from optimiser.solve.finite import refuse_unfinite
from optimiser.solve.outcomes import SolverFault
from optimiser.solve.running import parked

Places = npt.NDArray[np.int32]
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


def load(programme: Programme, *, in_part: bool = False) -> Any:
    """Hand a programme (objective: money) to HiGHS.

    Args:
        programme: m rows over n columns.
        in_part: whether columns that must be whole may stand in between: then it is a linear programme.

    Returns:
        The live ``highspy.Highs``, not yet run.

    Raises:
        SolverFault: a figure is not finite where it must be, or HiGHS refuses the programme.
    """
    refuse_unfinite(programme)
    mixed = programme.is_mixed_integer and not in_part
    model = fresh(mixed=mixed)
    m, n = programme.matrix.shape
    starts, index, values = by_column(programme.matrix)
    status = model.passModel(
        n,
        m,
        len(values),
        int(highspy.MatrixFormat.kColwise),
        int(highspy.ObjSense.kMinimize),
        0.0,
        programme.money,
        programme.column_low,
        programme.column_high,
        programme.row_low,
        programme.row_high,
        starts[:-1],
        index,
        values,
        programme.integer.astype(np.int32) if mixed else np.zeros(n, dtype=np.int32),
    )
    if status == highspy.HighsStatus.kError:
        raise SolverFault("HiGHS refused the programme")
    return model


def by_column(matrix: Matrix) -> tuple[Places, Places, Vector]:
    """The entries of an (m, n) matrix that are not zero, down one column after the other.

    Returns:
        Where each column starts among them (n + 1 entries, the last their number), their rows, their values.
    """
    down = np.ascontiguousarray(matrix.T)
    filled = down != 0.0
    starts = np.zeros(len(down) + 1, dtype=np.int32)
    np.cumsum(np.count_nonzero(filled, axis=1), out=starts[1:])
    rows = np.broadcast_to(np.arange(len(matrix), dtype=np.int32), down.shape)
    return starts, rows[filled], down[filled]


def fresh(*, mixed: bool) -> Any:
    """A HiGHS without a model, its options set."""
    spend_banner()
    model = highspy.Highs()
    for option, value in options(mixed=mixed).items():
        model.setOptionValue(option, value)
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
