"""What is expected of a straight line before any trial, as plain figures."""

from __future__ import annotations

from typing import NamedTuple


class Prior(NamedTuple):
    """The line expected, in the unit of y: `slope` a point and `offset` at an index of 0, with their standard errors.

    `level_error` is that of the line's height, `noise` how far one trial strays from it, `worth` how many trials the
    figure of the noise counts for.
    """

    slope: float
    offset: float
    slope_error: float
    level_error: float
    noise: float
    worth: float
