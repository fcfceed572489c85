"""A line drawn with letters, so that it reads without colour: costs upwards, limits to the right."""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from optimiser.answers.curve_values import Drawn


class ChartMarks(NamedTuple):
    """The signs of a chart: the line, where it is steep, where it is laid, breakpoints, cut off, no blend, the axes, here."""

    line: str
    steep: str
    laid: str
    point: str
    cut: str
    none: str
    up: str
    along: str
    corner: str
    here: str


BOX = ChartMarks("━", "┃", "·", "◆", "▲", "░", "│", "─", "└", "▲")
PLAIN = ChartMarks("=", "|", ".", "o", "^", "#", "|", "-", "+", "^")
LEAST_WIDTH = 20


class Frame(NamedTuple):
    """What a chart shows: limits from left to right, costs from the foot to the top, in so many columns and rows."""

    left: float
    right: float
    foot: float
    top: float
    width: int
    height: int

    def column(self, limit: float) -> int:
        """In which column a limit stands."""
        return max(0, min(self.width - 1, round((limit - self.left) / (self.right - self.left) * (self.width - 1))))

    def row(self, cost: float) -> int:
        """In which row from the foot a cost stands; beyond the top one row more."""
        if cost > self.top * (1.0 + 1e-12):
            return self.height
        if self.top <= self.foot:
            return 0
        return max(0, min(self.height - 1, round((cost - self.foot) / (self.top - self.foot) * (self.height - 1))))


def plotted(
    drawn: Sequence[Drawn], points: Sequence[tuple[float, float]], frame: Frame, marks: ChartMarks
) -> list[str]:
    """The rows of a chart, the top one first.

    Args:
        drawn: places of the line, limits rising.
        points: (limit, cost) of the breakpoints.
        frame: what it shows.
        marks: the signs.
    """
    cells = [[" "] * frame.width for _ in range(frame.height)]
    before: int | None = None
    for column in range(frame.width):
        limit = frame.left + (frame.right - frame.left) * column / max(1, frame.width - 1)
        cost, is_laid = reading(drawn, limit)
        row = frame.row(cost)
        if row >= frame.height:
            cells[frame.height - 1][column] = marks.cut
        else:
            cells[row][column] = marks.laid if is_laid else marks.line
        inside = min(row, frame.height - 1)
        if before is not None and abs(inside - before) > 1:
            for between in range(min(inside, before) + 1, max(inside, before)):
                cells[between][column] = marks.laid if is_laid else marks.steep
        before = inside
    for limit, cost in points:
        row = frame.row(cost)
        if row < frame.height:
            cells[row][frame.column(limit)] = marks.point
    return ["".join(row) for row in reversed(cells)]


def reading(drawn: Sequence[Drawn], limit: float) -> tuple[float, bool]:
    """The cost at a limit by the line, and whether it is laid there."""
    first = drawn[0]
    for one, other in pairwise(drawn):
        if limit <= other.limit:
            width = other.limit - one.limit
            part = (limit - one.limit) / width if width > 0.0 else 1.0
            return one.cost + max(0.0, part) * (other.cost - one.cost), one.is_laid
        first = other
    return first.cost, first.is_laid


def ticks(low: float, high: float, most: int) -> Iterator[float]:
    """Round figures between two, at most so many; none where the two are one."""
    width = high - low
    if not width > 0.0:
        return
    for power in range(-9, 9):
        for size in (1.0, 2.0, 5.0):
            step = size * 10.0**power
            if width / step <= most:
                first = -int(-low // step)
                yield from (
                    round(place * step, 9) for place in range(first, int(high // step) + 1) if low <= place * step
                )
                return
