"""A programme some of whose wishes may be missed, each at a price for every step of its scale."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from optimiser.maths.arrays import Vector
from optimiser.measures.sides import Side
from optimiser.model.programme import Programme
from optimiser.model.rows import Row
from optimiser.problem.wishes import Origin, WishId

GUARD = 1e-7  # what the solver's tolerance may have hidden
MOST_SLACK = 1e4


def with_slack(programme: Programme, way: Sequence[WishId], point: Vector | None) -> tuple[Programme, Vector]:
    """The programme with a slack for each side of each of some wishes, and what each slack costs.

    Args:
        programme: the rows as they stand.
        way: the wishes that may give; all rows of one give together.
        point: a blend at which ratios are weighed; None takes the most that a column could bring.
    """
    blocks, costs = [], []
    for member in way:
        places = programme.members[member]
        row = programme.rows[places[0]]
        signs = (1.0, -1.0) if len(places) == 1 and row.side == Side.EXACTLY else (None,)
        for sign in signs:
            block = np.zeros(len(programme.matrix))
            for place in places:
                block[place] = sign or (1.0 if programme.rows[place].side == Side.AT_LEAST else -1.0)
            blocks.append(block)
            costs.append(1.0 / (row.scale * typical(row, point)))
    elastic = replace(programme, matrix=np.column_stack([programme.matrix, *blocks]))
    return widened(elastic, [MOST_SLACK] * len(blocks)), np.array(costs)


def typical(row: Row, point: Vector | None) -> float:
    """How much of a row's activity one unit of its figure is."""
    if row.bottom is None or row.origin == Origin.COUNT:
        return 1.0
    return float(np.abs(row.bottom).max()) if point is None else max(GUARD, row.slope(point))


def widened(programme: Programme, most: Sequence[float]) -> Programme:
    """A programme whose matrix has columns more than the rest of it: they get bounds, and neither cost nor weigh."""
    more = len(most)
    return replace(
        programme,
        column_low=np.concatenate([programme.column_low, np.zeros(more)]),
        column_high=np.concatenate([programme.column_high, most]),
        integer=np.concatenate([programme.integer, np.zeros(more, dtype=np.bool_)]),
        money=np.concatenate([programme.money, np.zeros(more)]),
        cured=np.concatenate([programme.cured, np.zeros(more)]),
    )
