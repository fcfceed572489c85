"""What every part of a sweep begins from: the vertices of some scenarios, and the tangents that keep them in the cone.

Each part begins from the same vertices and hands none on, so that its answer does not depend on which parts were done before
it, or by whom. Where a cheapest vertex strays more than the rows have room for, a tangent of the cone of the lots cuts it
off (`model/lot_spread.py`); tangents hold for every blend, so that what is swept stays the same.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from optimiser.analysis.price_pool import Pool
from optimiser.analysis.repricing import Solver, one_by_one, vertices_at
from optimiser.analysis.swept import Swept
from optimiser.maths.arrays import Matrix
from optimiser.solve.vertices import Basis

MOST_TANGENTS = 300
MOST_ROUNDS = 40
FEW = 12  # scenarios from which a search for counted fats begins


class Start(NamedTuple):
    """The programme with the tangents that were found, bases of vertices, and blends (k, n) that are allowed at all prices."""

    swept: Swept
    bases: tuple[Basis, ...]
    blends: Matrix

    def pool(self) -> Pool:
        """The vertices of the bases."""
        pool = Pool(self.swept)
        for basis in self.bases:
            pool.add(basis)
        return pool


def begin(swept: Swept, prices: Matrix) -> Start:
    """What to begin from, by some of the scenarios (s, p).

    Raises:
        SolverFault: the solver failed.
    """
    if not swept.is_linear:
        found = one_by_one(swept, spread_over(prices, FEW), swept.kept[None, :])
        return Start(swept, (), np.vstack([swept.kept[None, :], found.points]))
    tangents = 0
    for _ in range(MOST_ROUNDS):
        pool = Pool(swept)
        solver = Solver(swept)
        ratio = float(swept.money @ swept.kept) / float(swept.cured @ swept.kept)
        today = solver.basis(swept.money, ratio)
        if today is not None:
            pool.add(today)
        used = np.unique(vertices_at(pool, solver, prices))
        missing = [number for number in used.tolist() if not pool.in_cone[number]]
        if not missing or swept.lots is None or tangents + len(missing) > MOST_TANGENTS:
            break
        for number in missing:
            swept = swept.with_tangent(swept.lots.tangent(swept.lots.direction(pool.points[number]), len(swept.money)))
        tangents += len(missing)
    return Start(swept, tuple(pool.bases), swept.kept[None, :])


def spread_over(prices: Matrix, most: int) -> Matrix:
    """Some of the scenarios (s, p), evenly over all of them."""
    return prices if len(prices) <= most else prices[np.linspace(0, len(prices) - 1, most).astype(np.intp)]
