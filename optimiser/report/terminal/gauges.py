"""A measure drawn on its scale, so that it reads without colour: bands, the limits set on it, and where this bar stands."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    from collections.abc import Callable

    from optimiser.answers.weighed_lines import MeasureLine

HUNDRED = 100.0
SMALL_SCALE = 10.0  # bands that end below this belong to a plain index, not to a scale of 0 to 100
BEYOND = 2.0  # such a scale ends at twice its last band boundary
NEAR = 1e-6


class Marks(NamedTuple):
    """The signs a gauge is drawn with."""

    left: str
    right: str
    line: str
    allowed: str
    boundary: str
    here: str
    low: str
    high: str
    below: str
    above: str


BOX = Marks("├", "┤", "─", "━", "┼", "●", "[", "]", "◀", "▶")
PLAIN = Marks("|", "|", "-", "=", "+", "O", "[", "]", "<", ">")


def scale_of(line: MeasureLine) -> float:
    """Where the scale ends (it starts at 0): 100, or a little beyond the last band of a small plain index."""
    edges = [high for _, _, high in line.bands if high is not None]
    return BEYOND * max(edges) if edges and max(edges) < SMALL_SCALE else HUNDRED


def cells(top: float, width: int) -> Callable[[float], int]:
    """In which of `width` columns a value stands on a scale from 0 to `top`; what lies beyond stands at its end."""
    last = width - 1
    return lambda value: max(0, min(last, round(value / top * last)))


def gauge(line: MeasureLine, width: int, marks: Marks = BOX) -> str:
    """The scale in `width` columns: boundaries of bands, brackets where limits stand, a pointer for the value.

    The stretch that limits leave is drawn heavier. A pointer never hides a bracket: a value at its limit stands just
    inside it, one that breaks it just outside. A value off the scale is an arrow at its end.
    """
    top = scale_of(line)
    last = width - 1
    cell = cells(top, width)

    low, high = _brackets(line, cell)
    left, right = -1 if low is None else low, width if high is None else high
    limited = low is not None or high is not None
    drawn = [marks.allowed if limited and left < place < right else marks.line for place in range(width)]
    drawn[0], drawn[last] = marks.left, marks.right
    for place in (cell(edge) for _, edge, _ in line.bands if edge is not None):
        if 0 < place < last:
            drawn[place] = marks.boundary
    for place, mark in ((left, marks.low), (right, marks.high)):
        if 0 <= place <= last:
            drawn[place] = mark
    if math.isfinite(line.value):
        drawn[cell(line.value)] = marks.below if line.value < 0 else marks.above if line.value > top else marks.here
    return "".join(drawn)


def _brackets(line: MeasureLine, cell: Callable[[float], int]) -> tuple[int | None, int | None]:
    """Cells of the brackets, moved off the pointer's to the side that tells whether the limit holds."""
    low = None if line.low_limit is None else cell(line.low_limit)
    high = None if line.high_limit is None else cell(line.high_limit)
    if not math.isfinite(line.value):
        return low, high
    here = cell(line.value)
    if low is not None and line.low_limit is not None:
        low = min(low, here - 1) if line.value >= line.low_limit - NEAR else max(low, here + 1)
    if high is not None and line.high_limit is not None:
        high = max(high, here + 1) if line.value <= line.high_limit + NEAR else min(high, here - 1)
    return low, high
