"""A change of a wish, as a person would write its figure."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import NamedTuple

from optimiser.measures.quantities import quantities
from optimiser.measures.sides import Side
from optimiser.model.elastic import GUARD
from optimiser.model.rows import Row

TRIES = 3  # steps of the rounding taken before a finer one is
FINER = (1.0, 0.1, 0.01, 0.001)  # of the step in which a person writes: an exact figure may have to be met to a hair
ALL = 100.0  # per cent


class Move(NamedTuple):
    """One wish at a new figure; `size` in steps of its natural scale."""

    row: Row
    value: float

    @property
    def size(self) -> float:
        """How large a change it is, in the wish's natural scale."""
        return abs(self.value - self.row.limit) / self.row.scale


def roundings(moves: Sequence[Move]) -> Iterator[list[Move]]:
    """The moves as a person would write them, the roundest first, then further off, then with finer exact figures."""
    moving = [move for move in moves if abs(move.value - move.row.limit) > GUARD]
    exact = any(move.row.side == Side.EXACTLY for move in moving)
    for finer in FINER if exact else FINER[:1]:
        for extra in range(TRIES):
            eased = [Move(move.row, rounded(move, extra, finer)) for move in moving]
            if eased and all(can_be_written(move) for move in eased):
                yield [move for move in eased if move.size > 0]


def can_be_written(move: Move) -> bool:
    """Whether the file would take the figure."""
    known = quantities().get(move.row.figure)
    if known is not None:
        return known.lowest <= move.value <= known.highest
    if move.row.unit == "fats":
        return move.value >= 1.0
    return move.value >= 0.0 and (move.row.unit != "%" or move.value <= ALL)


def step_of(row: Row) -> float:
    """The step in which a person writes a figure."""
    if row.unit == "fats":
        return 1.0
    if row.figure == "cost" or row.unit in ("kg", "ratio") or row.scale <= 0.5:
        return 0.01
    return 0.1


def rounded(move: Move, extra: int, finer: float) -> float:
    """The figure a person would write, on the easy side of what is needed, and `extra` steps further.

    What is round to within the solver's tolerance already is taken as it is.
    """
    row, step = move.row, step_of(move.row)
    if row.side == Side.EXACTLY and row.unit != "fats":
        step, extra = step * finer, min(extra, 1)
    down = row.side == Side.AT_LEAST or (row.side == Side.EXACTLY and move.value < row.limit)
    steps = move.value / step
    near = GUARD / step
    count = math.floor(steps + near) - extra if down else math.ceil(steps - near) + extra
    return max(0.0, round(count * step, 6)) if row.limit >= 0 else round(count * step, 6)
