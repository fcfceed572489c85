"""A programme that also says how far a blend lies from a recipe in hand: fats moved, and what the bar's functions drift."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

import numpy as np

from optimiser.maths.arrays import Vector
from optimiser.measures.measures import measures
from optimiser.model.elastic import widened
from optimiser.model.programme import Programme

MOST_DRIFT = 1e4  # small changes of a measure: the bound only keeps proofs finite


@dataclass(frozen=True)
class Moves:
    """The programme with columns for what each fat of a recipe loses, and for what each function drifts.

    `moved` (n entries) is the share of the fats that is taken away from where it was, a fraction; as shares add up to one,
    as much comes in elsewhere. `drift` is the sum of what functions are off, each in small changes of its measure. `cap` is the
    place of the row that holds `moved` below a figure, none at first. `old` are the recipe's shares by column of a fat.
    """

    programme: Programme
    moved: Vector = field(repr=False)
    drift: Vector = field(repr=False)
    old: Vector = field(repr=False)
    cap: int


def with_moves(programme: Programme, shares: Mapping[str, float], values: Mapping[str, float]) -> Moves:
    """A programme with its distance from a recipe.

    Args:
        programme: the rows as they stand.
        shares: the recipe's fats by name, per cent; all of them are columns.
        values: its functions by measure; those that are not to count are left out.
    """
    columns = programme.columns
    (m, width), losing = programme.matrix.shape, [columns.index[name] for name in shares]
    k, size = len(losing), len(losing) + len(values)
    old = np.zeros(columns.count)
    old[losing] = [share / 100.0 for share in shares.values()]
    matrix = np.zeros((m + k + 2 * len(values) + 1, width + size))
    matrix[:m, :width] = programme.matrix
    low = np.full(len(matrix), -np.inf)
    high = np.full(len(matrix), np.inf)
    low[:m], high[:m] = programme.row_low, programme.row_high
    for place, column in enumerate(losing):  # share + lost >= what it was
        matrix[m + place, column] = matrix[m + place, width + place] = 1.0
        low[m + place] = old[column]
    for place, (name, value) in enumerate(values.items()):  # the function off by no more than its drift, either way
        row, column = m + k + 2 * place, width + k + place
        matrix[row : row + 2, : columns.size] = columns.measure(name)
        matrix[row, column], matrix[row + 1, column] = -measures()[name].scale, measures()[name].scale
        high[row] = low[row + 1] = value
    moved, drift = np.zeros(width + size), np.zeros(width + size)
    moved[width : width + k] = 1.0
    drift[width + k :] = 1.0
    matrix[-1] = moved
    wide = widened(
        replace(programme, matrix=matrix, row_low=low, row_high=high), [1.0] * k + [MOST_DRIFT] * len(values)
    )
    return Moves(wide, moved, drift, old, len(matrix) - 1)
