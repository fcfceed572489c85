"""The cheapest blend at each of many prices: by a pool of vertices, and where that has none yet, by solving.

All vertices known are priced by one matrix product; the cheapest of them is proved by the reduced costs of its basis, for all
scenarios that it is the cheapest of at once. What is not proved is solved, one scenario of those that share a vertex at a
time, since its vertex will mostly serve the others too. So a scenario costs a few products, and a linear programme is
solved for a small part of them only. What is told is what solving every scenario by itself would tell.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from optimiser.analysis.price_pool import TIE, Pool, is_proved, name_of
from optimiser.analysis.swept import Places, Swept
from optimiser.maths.arrays import Mask, Matrix, Vector
from optimiser.solve.optimum import least_ratio
from optimiser.solve.outcomes import SolverFault, Work
from optimiser.solve.solver import Live
from optimiser.solve.vertices import Basis, Vertices

BLOCK = 4096  # scenarios priced at a time: the costs of all vertices fit the cache of a core
MOST_ROUNDS = 50
CLOSE = 1e-13  # relative: the ratio no longer moves
NO_BLEND, NOT_KNOWN = -1, -2


class Repriced(NamedTuple):
    """The cheapest blend of each of s scenarios: its number among `points` (k, n) and its cost per kilo of cured bar.

    A number below nothing: there is no blend, or the work allowed did not suffice, and the cost is no figure.
    `solved` is how many linear programmes were solved, `alone` how many scenarios were solved one by one.
    """

    numbers: Places
    costs: Vector
    points: Matrix
    solved: int = 0
    alone: int = 0


class Solver:
    """One live programme without its cone, for scenarios that the pool has no vertex for."""

    def __init__(self, swept: Swept) -> None:
        self.swept = swept
        self.solved = 0
        self._live = Vertices(swept.programme(cone=False))
        self._low, self._high = swept.column_low, swept.column_high

    def hold(self, low: Vector, high: Vector) -> Vector | None:
        """Give the columns other bounds (n each); some blend within, None where there is none."""
        for place in np.flatnonzero((low != self._low) | (high != self._high)).tolist():
            self._live.bound_column(place, float(low[place]), float(high[place]))
        self._low, self._high = low, high
        self.solved += 1
        outcome = self._live.minimise(np.zeros_like(self.swept.money))
        return outcome.point if outcome.feasible else None

    def step(self, money: Vector, ratio: float) -> tuple[Basis | None, float]:
        """A basis of a cheaper blend at some costs (n) than a cost per kilo that is within reach, and what that blend costs.

        Where it is no cheaper, it is the cheapest, and the basis is one of an optimum.

        Raises:
            SolverFault: there is no blend, which is impossible.
        """
        outcome = self._live.minimise(money - ratio * self.swept.cured)
        self.solved += 1
        if not outcome.feasible:
            raise SolverFault("a price scenario lost the blend that all prices have")
        return self._live.basis(), float(money @ outcome.point) / float(self.swept.cured @ outcome.point)

    def basis(self, money: Vector, ratio: float) -> Basis | None:
        """A basis of the cheapest blend at some costs (n), from a cost per kilo that is within reach.

        Raises:
            SolverFault: there is no blend, or the cost does not settle; both are impossible.
        """
        for _ in range(MOST_ROUNDS):
            basis, reached = self.step(money, ratio)
            if reached >= ratio * (1.0 - CLOSE):
                return basis
            ratio = reached
        raise SolverFault("the cost per kilo of a price scenario did not settle")


def reprice(pool: Pool, prices: Matrix) -> Repriced:
    """The cheapest blend at each of s prices (s, p); the pool grows by what is found.

    Raises:
        SolverFault: the solver failed.
    """
    solver = Solver(pool.swept)
    numbers = vertices_at(pool, solver, prices)
    costs = pool.cost_of(prices, numbers)
    missing = np.flatnonzero(~np.array(pool.in_cone)[numbers])
    used, places = np.unique(numbers, return_inverse=True)
    points = np.array([pool.points[number] for number in used.tolist()])
    out = Repriced(places.astype(np.intp), costs, points, solver.solved)
    return out if len(missing) == 0 else _mended(pool.swept, prices, out, missing)


def vertices_at(pool: Pool, solver: Solver, prices: Matrix) -> Places:
    """The number of the cheapest vertex at each of s prices (s, p), whether or not it has room for the spread of lots."""
    return np.concatenate(
        [_block(pool, solver, prices[first : first + BLOCK]) for first in range(0, len(prices), BLOCK)]
    )


def _block(pool: Pool, solver: Solver, prices: Matrix) -> Places:
    """The vertex of each scenario of a block."""
    best, costs = cheapest_known(pool.costs(prices))
    open_ones = np.flatnonzero(~proved_by(pool, prices, best, costs, np.zeros(len(pool), dtype=np.intp)))
    while len(open_ones):
        known = len(pool)
        bases = np.array([len(one) for one in pool.proofs], dtype=np.intp)
        settled = []
        fresh: set[bytes] = set()
        firsts = np.unique(best[open_ones], return_index=True)[1]
        for place in np.sort(open_ones[firsts]).tolist():
            basis, reached = solver.step(pool.swept.at(prices[place]), float(costs[place]))
            came_back = basis is not None and pool.knows(basis) and name_of(basis) not in fresh
            number = None if basis is None else pool.add(basis)
            if basis is None or number is None:
                raise SolverFault("a vertex without a basis")
            fresh.add(name_of(basis))
            # the solver's word, where it has nothing cheaper or comes back to what was tried; else a new basis may prove it
            if came_back or reached >= costs[place] * (1.0 - CLOSE):
                best[place] = number
                settled.append(place)
        open_ones = np.setdiff1d(open_ones, settled, assume_unique=True)
        if len(open_ones) == 0:
            break
        bases = np.append(bases, np.zeros(len(pool) - known, dtype=np.intp))
        if len(pool) > known:
            cheaper, at = cheapest_known(pool.costs(prices[open_ones], known))
            moved = at < costs[open_ones] * (1.0 - TIE)
            best[open_ones[moved]], costs[open_ones[moved]] = cheaper[moved] + known, at[moved]
        done = proved_by(pool, prices[open_ones], best[open_ones], costs[open_ones], bases)
        open_ones = open_ones[~done]
    return best


def cheapest_known(costs: Matrix) -> tuple[Places, Vector]:
    """The first of the cheapest of each row (s, k), those that cost the same by all that rounding knows taken together."""
    least = costs.min(axis=1)
    best = np.argmax(costs <= (least * (1.0 + TIE))[:, None], axis=1)
    return best, np.asarray(costs[np.arange(len(costs)), best])


def proved_by(pool: Pool, prices: Matrix, best: Places, costs: Vector, tried: Places) -> Mask:
    """For which scenarios the cheapest vertex known is proved, by bases not tried before, the newest first.

    Args:
        pool: the vertices.
        prices: (s, p).
        best: the vertex of each scenario (s).
        costs: its cost per kilo (s).
        tried: how many bases of each vertex (k) were tried on these scenarios before.
    """
    done = np.zeros(len(best), dtype=np.bool_)
    order = np.argsort(best, kind="stable")
    ends = np.flatnonzero(np.diff(best[order])) + 1
    for group in np.split(order, ends):
        left = group
        number = int(best[group[0]])
        for proof in reversed(pool.proofs[number][tried[number] :]):
            held = is_proved(proof, prices[left], costs[left])
            done[left[held]] = True
            left = left[~held]
            if len(left) == 0:
                break
    return done


def _mended(swept: Swept, prices: Matrix, found: Repriced, missing: Places) -> Repriced:
    """The same where the cheapest vertex strays more than the rows have room for: those scenarios are solved one by one."""
    alone = one_by_one(swept, prices[missing], swept.kept[None, :])
    numbers, costs = found.numbers.copy(), found.costs.copy()
    numbers[missing] = np.where(alone.numbers < 0, alone.numbers, alone.numbers + len(found.points))
    costs[missing] = alone.costs
    return found._replace(
        numbers=numbers, costs=costs, points=np.vstack([found.points, alone.points]), alone=len(missing)
    )


def one_by_one(swept: Swept, prices: Matrix, known: Matrix) -> Repriced:
    """The cheapest blend at each of s prices, each solved by itself: fats are counted, or prices stand in a row.

    Nothing is handed on from one scenario to the next, so that each answer is the same whoever asks for which.

    Args:
        swept: the programme.
        prices: (s, p).
        known: blends (k, n) that are allowed at all prices, to begin from.
    """
    points: list[Vector] = []
    numbers: list[int] = []
    costs: list[float] = []
    for each in prices:
        found = _alone(swept, swept.at(each), known)
        if isinstance(found, int):
            numbers.append(found)
            costs.append(np.nan)
        else:
            numbers.append(len(points))
            points.append(found)
            costs.append(float(each @ found[swept.places]) / float(swept.cured @ found))
    return merged(numbers, costs, points, len(swept.money))


def _alone(swept: Swept, money: Vector, known: Matrix) -> Vector | int:
    """The cheapest blend at some costs (n); a number below nothing where there is none."""
    live = Live(swept.programme(money), Work())
    start = 0.0
    if not swept.cost_rows:
        reached = (known @ money) / (known @ swept.cured)
        best = int(np.argmin(reached))
        live.suggest(known[best])
        start = float(reached[best])
    try:
        found = least_ratio(live, start)
    except SolverFault:  # the work allowed ended, or a search went astray
        return NOT_KNOWN
    if found is None:
        return NO_BLEND
    return found.point if not start or found.ratio < start * (1.0 - TIE) else known[best]


def merged(numbers: list[int], costs: list[float], points: list[Vector], width: int) -> Repriced:
    """Scenarios with their blends, each blend once."""
    if not points:
        return Repriced(np.array(numbers, dtype=np.intp), np.array(costs), np.empty((0, width)), 0, len(numbers))
    rounded = np.round(np.array(points), 9) + 0.0
    _, firsts, inverse = np.unique(rounded, axis=0, return_index=True, return_inverse=True)
    found = np.array(numbers, dtype=np.intp)
    renumbered = np.where(found < 0, found, inverse.ravel()[np.maximum(found, 0)])
    return Repriced(renumbered, np.array(costs), np.array(points)[firsts], 0, len(numbers))
