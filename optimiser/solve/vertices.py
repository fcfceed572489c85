"""A live model that also tells at which vertex it stands: which columns and rows are basic, and where the others lie."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from optimiser.maths.arrays import Mask
from optimiser.solve.solver import Live

LOWER, BASIC, UPPER = 0, 1, 2  # as HiGHS numbers the standing of a column or a row


class Basis(NamedTuple):
    """The standing of n columns and then m rows: which are basic, and which of the others lie at their upper bound."""

    basic: Mask
    at_upper: Mask


class Vertices(Live):
    """A live model whose basis can be asked for after an optimum."""

    def basis(self) -> Basis | None:
        """The basis of the last optimum; None where it leans on more than the rows of the programme, or there is none.

        Where the cone of the lots was cut HiGHS has rows and columns of its own, and a vertex of those is none of ours.
        """
        rows, columns = self.programme.matrix.shape
        told = self._model.getBasis()
        if not told.valid or len(told.col_status) != columns or len(told.row_status) != rows:
            return None
        standing: npt.NDArray[np.int64] = np.array([int(one) for one in (*told.col_status, *told.row_status)])
        basic = standing == BASIC
        return Basis(basic, standing == UPPER) if int(basic.sum()) == rows else None
