"""Straight lines through few points, and levers shrunk towards what the book says: plain least squares in numpy.

The model is ``y = offset + slope m + Z c + error``: m the index by the book, y the reading on its straight side, Z how
far each lever was pulled (in its usual span), c what the book's levers are wrong by. The penalty falls on c alone, so
that with a great penalty the book's levers stand and the fit is the plain line.
Hoerl & Kennard, Technometrics 12 (1970) 55-67, doi:10.1080/00401706.1970.10488634; the left-out error without refitting:
Allen, Technometrics 16 (1974) 125-127, doi:10.1080/00401706.1974.10489157 (both from memory).
"""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np

from optimiser.maths.arrays import Matrix, Vector
from optimiser.maths.student_t import t_quantile

PENALTIES = tuple(10.0 ** (step / 2.0) for step in range(-4, 7))  # 0.01 to 1000, in half decades
SURE = 0.95
_FLAT = 1e-9  # relative: a spread below this is rounding


class Fit(NamedTuple):
    """A fitted line, with levers or without.

    Errors are standard errors, all in the unit of y (per point for the slope, per span for `corrections`). `residual` is
    the standard deviation about the fit with `freedom` degrees of freedom; `fitted` and `unseen` are, for each trial, what
    the fit says and what a fit without that trial says; `left_out` is the root mean square of y - `unseen`. `penalty` is
    infinite for the plain line. `offset` belongs to the mean pull of the levers, `pulled`. Of a line that is held to one
    expected before, `behind` is how many trials its height rests on (0: those it has), and `own_slope` how much of its
    slope is the trials' own, from 0 to 1.
    """

    slope: float
    offset: float
    slope_error: float
    offset_error: float
    residual: float
    freedom: float
    centre: float
    spread: float
    left_out: float
    fitted: Vector
    unseen: Vector
    penalty: float = math.inf
    corrections: tuple[float, ...] = ()
    correction_errors: tuple[float, ...] = ()
    pulled: tuple[float, ...] = ()
    behind: float = 0.0
    own_slope: float = 1.0

    def interval(self, chance: float = SURE) -> tuple[float, float]:
        """Between which slopes the true one lies with this chance."""
        half = t_quantile((1.0 + chance) / 2.0, self.freedom) * self.slope_error
        return self.slope - half, self.slope + half


def line(index: Vector, reading: Vector) -> Fit:
    """The ordinary least squares line.

    Args:
        index: n indices by the book.
        reading: n readings on their straight side.

    Raises:
        ValueError: fewer than three trials, or no spread among the indices.
    """
    return ridge(index, reading, np.empty((len(index), 0)), math.inf)


def chosen(index: Vector, reading: Vector, levers: Matrix) -> Fit:
    """The line with levers, the penalty being the one under which trials left out are foretold best.

    Ties go to the greater penalty. `unseen` and `left_out` choose the penalty anew without each trial, since an error
    that has chosen its own penalty flatters the fit.
    """
    penalty = _best(index, reading, levers)
    made = ridge(index, reading, levers, penalty)
    unseen = np.empty(len(index))
    for out in range(len(index)):
        rest = np.arange(len(index)) != out
        inner = _best(index[rest], reading[rest], levers[rest])
        unseen[out] = _foretold(ridge(index[rest], reading[rest], levers[rest], inner), index[out], levers[out])
    return _with_unseen(made, reading, unseen)


def _best(index: Vector, reading: Vector, levers: Matrix) -> float:
    """The penalty with the least left-out error."""
    best, least = math.inf, ridge(index, reading, levers, math.inf).left_out
    rounding = _FLAT * float(np.abs(reading).max())
    for penalty in reversed(PENALTIES):
        error = ridge(index, reading, levers, penalty).left_out
        if error < least - rounding:
            best, least = penalty, error
    return best


def _foretold(made: Fit, index: float, levers: Vector) -> float:
    pulled = np.asarray(made.pulled)
    return made.offset + made.slope * index + float(np.asarray(made.corrections) @ (levers - pulled))


def _with_unseen(made: Fit, reading: Vector, unseen: Vector) -> Fit:
    return made._replace(unseen=unseen, left_out=_root_mean_square(reading - unseen))


def ridge(index: Vector, reading: Vector, levers: Matrix, penalty: float) -> Fit:
    """Least squares of the centred columns: the slope free, the levers held by `penalty`.

    Args:
        index: n indices by the book.
        reading: n readings on their straight side.
        levers: n rows, a column for each lever, in usual spans.
        penalty: above 0; infinite leaves the book's levers alone.

    Raises:
        ValueError: fewer than three trials, no spread among the indices, or a penalty that is not above 0.
    """
    if not penalty > 0:
        raise ValueError("a penalty is above 0")
    n, k = levers.shape
    centre, pulled = float(index.mean()), levers.mean(axis=0)
    m, y, z = index - centre, reading - reading.mean(), levers - pulled
    if float(np.ptp(reading)) <= _FLAT * max(1.0, float(np.abs(reading).max())):
        y = np.zeros(n)  # all alike: what binary fractions leave of their mean would make a slope of either sign
    spread = float(np.linalg.norm(m))
    if n < 3 or spread <= _FLAT * max(1.0, float(np.abs(index).max())):
        raise ValueError("a line needs three trials and a spread among their indices")
    columns = np.column_stack([m, z]) if math.isfinite(penalty) else m[:, None]
    width = columns.shape[1]
    held = np.diag([0.0, *[penalty] * (width - 1)])
    inverse = np.linalg.inv(columns.T @ columns + held)
    weights = inverse @ (columns.T @ y)
    hat = np.einsum("ij,jk,ik->i", columns, inverse, columns) + 1.0 / n  # each trial's pull on its own fitted value
    fitted = reading.mean() + columns @ weights
    left = reading - fitted
    freedom = n - float(hat.sum())
    residual = math.sqrt(float(left @ left) / freedom)
    errors = residual * np.sqrt(np.diag(inverse))
    unseen = reading - left / np.maximum(1.0 - hat, _FLAT)
    slope = float(weights[0])
    rest = k if math.isfinite(penalty) else 0
    return Fit(
        slope=slope,
        offset=float(reading.mean()) - slope * centre,
        slope_error=float(errors[0]),
        offset_error=math.hypot(residual / math.sqrt(n), centre * float(errors[0])),
        residual=residual,
        freedom=freedom,
        centre=centre,
        spread=spread,
        left_out=_root_mean_square(reading - unseen),
        fitted=fitted,
        unseen=unseen,
        penalty=penalty,
        corrections=tuple(map(float, weights[1:])) if rest else (0.0,) * k,
        correction_errors=tuple(map(float, errors[1:])) if rest else (0.0,) * k,
        pulled=tuple(map(float, pulled)),
    )


def _root_mean_square(values: Vector) -> float:
    return math.sqrt(float(values @ values) / len(values))
