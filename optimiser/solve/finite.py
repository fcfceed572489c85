"""Figures that are none are refused before they reach a solver."""

from __future__ import annotations

import numpy as np

from optimiser.model.programme import Programme
from optimiser.solve.outcomes import SolverFault


def refuse_unfinite(programme: Programme) -> None:
    """NaN in a cost hangs HiGHS and in a coefficient reads as infeasible, so neither gets that far."""
    for array in (programme.matrix, programme.money, programme.cured, programme.column_low, programme.column_high):
        if not np.isfinite(array).all():
            raise SolverFault("a price, a limit or a figure of a fat is not a finite number")
    if np.isnan(programme.row_low).any() or np.isnan(programme.row_high).any():
        raise SolverFault("a limit is not a number")
