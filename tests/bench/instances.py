"""Random blends to time: shares of n fats under m - 1 dense rows, feasible by construction, from a fixed seed."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from optimiser.programme import Programme

SEED = 20261125


@dataclass(frozen=True)
class Count:
    """The one thing that a proof asks of the columns: how many fats there are."""

    count: int


def blend(fats: int, rows: int, seed: int = SEED) -> Programme:
    """A blend of `fats` over `rows` rows: least cost.x, low <= rows.x <= high, 0 <= x <= 1, the first row sum x = 1.

    Limits are laid around a random blend of six fats, a third of them at least, a third at most, a third between; a
    row between is two rows, as in a real programme.
    """
    draw = np.random.default_rng((seed, fats, rows))
    table = draw.uniform(0.0, 100.0, (rows, fats))
    table[0] = 1.0
    chosen = np.zeros(fats)
    chosen[draw.choice(fats, size=min(6, fats), replace=False)] = draw.dirichlet(np.full(min(6, fats), 4.0))
    reached = table @ chosen
    low, high = np.full(rows, -np.inf), np.full(rows, np.inf)
    low[0] = high[0] = 1.0
    for place in range(1, rows):
        width = draw.uniform(2.0, 10.0)
        if place % 2 == 0:
            low[place] = reached[place] - width
        else:
            high[place] = reached[place] + width
    return Programme(
        columns=Count(fats),  # type: ignore[arg-type]
        rows=(),
        matrix=table,
        row_low=low,
        row_high=high,
        column_low=np.zeros(fats),
        column_high=np.ones(fats),
        integer=np.zeros(fats, dtype=np.bool_),
        money=draw.uniform(2.0, 20.0, fats),
        cured=np.ones(fats),
    )
