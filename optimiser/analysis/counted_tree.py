"""Counted fats at many prices at once: one branch and bound that all scenarios of a part walk together.

A node holds some 0/1 columns at nothing or one. What it leaves is a linear programme, and prices do not change what is feasible in it,
so each node has a pool of vertices of its own that serves every scenario which comes there: that is what makes a scenario
cheap. A scenario leaves a node where its bound there is no less than the best blend it has, or where the node's cheapest vertex
can be had with whole columns; else it goes on to both halves. So each ends with the cheapest blend of all, as a search of its own would.
What the tree does not settle within its size is left to such searches.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from optimiser.analysis.price_pool import TIE, Pool
from optimiser.analysis.repricing import Repriced, Solver, merged, one_by_one, vertices_at
from optimiser.analysis.swept import Places, Swept
from optimiser.maths.arrays import Matrix, Vector
from optimiser.model.programme import Programme
from optimiser.solve.switches import Ties, holds, rounded, ties_of

MOST_NODES = 4_000  # of one part
WHOLE = 1e-6  # of a 0/1 column: what rounding may do to it


class Node(NamedTuple):
    """Scenarios (s) that came here, the least that each may cost, and the bounds of all columns (n each)."""

    scenarios: Places
    bounds: Vector
    low: Vector
    high: Vector


class Tree:
    """The search of one part: the best blend that each scenario has so far."""

    def __init__(self, swept: Swept, prices: Matrix, known: Matrix) -> None:
        self._swept, self._prices = swept, prices
        self._asked: Programme = swept.programme()
        self._ties: Ties = ties_of(self._asked)
        self._blends: list[Vector] = list(known)
        costs = (prices @ known[:, swept.places].T) / (known @ swept.cured)
        self._best = costs.argmin(axis=1)
        self._costs: Vector = costs[np.arange(len(prices)), self._best]
        self._left = np.zeros(len(prices), dtype=np.bool_)
        self._solver = Solver(swept._replace(integer=np.zeros_like(swept.integer)))

    def searched(self) -> Repriced:
        """The cheapest blend of each scenario.

        Raises:
            SolverFault: the solver failed.
        """
        every = np.arange(len(self._prices))
        nodes = [Node(every, np.zeros(len(every)), self._swept.column_low, self._swept.column_high)]
        count = 0
        while nodes:
            node = nodes.pop()
            if count == MOST_NODES:
                self._left[self._open(node.scenarios, node.bounds)] = True
                continue
            count += 1
            nodes.extend(self._branched(node))
        return self._told()

    def _open(self, scenarios: Places, bounds: Vector) -> Places:
        """The scenarios that a bound does not yet show to have the cheapest blend."""
        return scenarios[bounds < self._costs[scenarios] * (1.0 - TIE)]

    def _branched(self, node: Node) -> list[Node]:
        """What is left of a node, in two halves; what is settled there is noted."""
        scenarios = self._open(node.scenarios, node.bounds)
        some = None if len(scenarios) == 0 else self._solver.hold(node.low, node.high)
        if some is None:
            return []
        bare = self._swept._replace(
            column_low=node.low, column_high=node.high, integer=np.zeros_like(self._swept.integer)
        )
        pool = Pool(bare)
        money = self._swept.at(self._prices[scenarios[0]])
        first = self._solver.basis(money, float(money @ some) / float(self._swept.cured @ some))
        if first is None or pool.add(first) is None:
            self._left[scenarios] = True
            return []
        numbers = vertices_at(pool, self._solver, self._prices[scenarios])
        bounds = pool.cost_of(self._prices[scenarios], numbers)
        dear = bounds >= self._costs[scenarios] * (1.0 - TIE)
        scenarios, bounds, numbers = scenarios[~dear], bounds[~dear], numbers[~dear]
        doubt = np.zeros(len(node.low))
        goes_on = np.zeros(len(scenarios), dtype=np.bool_)
        for number in np.unique(numbers).tolist():
            here = numbers == number
            point = rounded(self._asked, self._ties, pool.points[number])
            if not holds(self._asked, point):
                goes_on |= here
                doubt += here.sum() * _off(pool.points[number], self._swept, node)
            elif pool.in_cone[number]:
                self._note(scenarios[here], bounds[here], point)
            else:
                self._left[scenarios[here]] = True
        if not goes_on.any():
            return []
        place = int(np.argmax(doubt))
        if doubt[place] <= WHOLE:
            self._left[scenarios[goes_on]] = True
            return []
        off, on = node.high.copy(), node.low.copy()
        off[place], on[place] = 0.0, 1.0
        rest = scenarios[goes_on], bounds[goes_on]
        return [Node(*rest, node.low, off), Node(*rest, on, node.high)]

    def _note(self, scenarios: Places, costs: Vector, point: Vector) -> None:
        self._best[scenarios], self._costs[scenarios] = len(self._blends), costs
        self._blends.append(point)

    def _told(self) -> Repriced:
        numbers, costs = self._best.copy(), self._costs.copy()
        alone = np.flatnonzero(self._left)
        blends = self._blends
        if len(alone):
            known = np.array([blends[number] for number in np.unique(numbers[alone]).tolist()])
            found = one_by_one(self._swept, self._prices[alone], known)
            numbers[alone] = np.where(found.numbers < 0, found.numbers, found.numbers + len(blends))
            costs[alone] = found.costs
            blends = [*blends, *found.points]
        used, places = np.unique(numbers, return_inverse=True)
        points = [blends[number] for number in used.tolist() if number >= 0]
        below = int((used < 0).sum())
        moved = np.where(numbers < 0, numbers, places - below)
        out = merged(moved.tolist(), costs.tolist(), points, len(self._swept.money))
        return out._replace(solved=self._solver.solved, alone=len(alone))


def _off(point: Vector, swept: Swept, node: Node) -> Vector:
    """How far each 0/1 column that is still free stands from nothing and one (n)."""
    free = swept.integer & (node.low < 0.5) & (node.high > 0.5)
    return np.where(free, np.minimum(point, 1.0 - point).clip(min=0.0), 0.0)


def counted(swept: Swept, prices: Matrix, known: Matrix) -> Repriced:
    """The cheapest blend at each of s prices (s, p) where fats are counted.

    Args:
        swept: the programme; prices stand in none of its rows.
        prices: (s, p).
        known: blends (k, n) that are allowed at all prices, to begin from.

    Raises:
        SolverFault: the solver failed.
    """
    return Tree(swept, prices, known).searched()
