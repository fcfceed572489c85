"""The parts of a sweep, as whoever does the work calls them: what they share comes pickled, what they find goes back.

A part is the scenarios from one number to another over one goal file. It begins from what all parts of that file begin from
and hands nothing on, so that it comes to the same whoever does it, and whenever.
"""

from __future__ import annotations

import pickle
from functools import lru_cache
from typing import NamedTuple

import numpy as np

from optimiser.analysis.break_even import BreakEven, break_even, cheaper_today, lead_of
from optimiser.analysis.counted_tree import counted
from optimiser.analysis.price_pool import Pool
from optimiser.analysis.repricing import one_by_one, reprice
from optimiser.analysis.sweep_start import Start, begin
from optimiser.analysis.swept import Places, Swept
from optimiser.maths.arrays import Matrix, Vector
from optimiser.problem.price_scenarios import Scenarios

ROOM = "optimiser.analysis.sweep_parts"
BEGIN, REPRICE, HOLD = (f"{ROOM}:{name}" for name in ("begin_case", "reprice_part", "hold_part"))


class Case(NamedTuple):
    """One goal file over all scenarios: what it begins from, and how its prices (p) go with the multipliers of the scenarios.

    `column` (p) is which multiplier moves a price, -1 where none does. `scenarios` are without their table, if they have
    one: then each part brings its own rows. `joined`: the columns of each fat, of its lots where it has several;
    `along`: those of what more is paid, or less, for what of it has to be bought.
    """

    start: Start
    fats: int
    column: Places
    scenarios: Scenarios
    joined: tuple[tuple[int, ...], ...] = ()
    along: tuple[tuple[int, ...], ...] = ()

    def prices(self, multipliers: Matrix) -> Matrix:
        """Prices (s, p) at some multipliers (s, f)."""
        swept = self.start.swept
        every = np.append(multipliers, np.ones((len(multipliers), 1)), axis=1)
        return np.asarray(every[:, self.column] * swept.money[swept.places], dtype=np.float64)

    def between(self, first: int, last: int, table: Matrix | None) -> Matrix:
        """Prices (last - first, p) of some scenarios."""
        return self.prices(self.scenarios.between(first, last) if table is None else table)


class Begun(NamedTuple):
    """What a file's parts begin from, and the break-even prices of its blend.

    `lead` is how much less the cheapest blend of what is swept costs today than today's own (relative): where it is more than
    nothing there are no break-even prices.
    """

    start: Start
    break_even: tuple[BreakEven, ...]
    lead: float = 0.0


class PartAnswer(NamedTuple):
    """Scenarios of a part: which of `points` (k, n) is the cheapest blend of each, what it costs, what today's blend does.

    A number below nothing: no blend, or not known; its cost is then no figure.
    """

    numbers: Places
    costs: Vector
    kept: Vector
    points: Matrix
    solved: int
    alone: int


def begin_case(shared: bytes, multipliers: Matrix) -> Begun:
    """What the parts of a file begin from, by some of the scenarios (s, f).

    Raises:
        SolverFault: the solver failed.
    """
    case: Case = pickle.loads(shared)  # noqa: S301  # our own, from one process to another
    swept = case.start.swept
    start = begin(swept, case.prices(multipliers))
    if swept.cost_rows:  # where prices stand in a row today's blend is mostly not allowed at any other
        return Begun(start, ())
    other = cheaper_today(swept)
    if other is not None:
        return Begun(start, (), lead_of(swept, other))
    return Begun(start, break_even(swept, case.fats, case.joined, case.along))


def reprice_part(shared: bytes, first: int, last: int, table: Matrix | None) -> PartAnswer:
    """The cheapest blend of some scenarios.

    Raises:
        SolverFault: the solver failed.
    """
    case, pool = _opened(shared)
    swept = case.start.swept
    prices = case.between(first, last, table)
    if swept.cost_rows:
        found = one_by_one(swept, prices, case.start.blends)
    elif pool is None:
        found = counted(swept, prices, case.start.blends)
    else:
        found = reprice(pool.copy(), prices)
    kept = cost_of(swept, prices, swept.kept)
    costs = np.minimum(found.costs, kept) if not swept.cost_rows else found.costs  # by rounding alone it is dearer
    return PartAnswer(found.numbers, costs, kept, found.points, found.solved, found.alone)


def hold_part(shared: bytes, first: int, last: int, table: Matrix | None, held: Matrix) -> Matrix:
    """What blends (h, n) cost per kilo if they are held whatever prices do: (last - first, h)."""
    case, _ = _opened(shared)
    prices = case.between(first, last, table)
    return np.stack([cost_of(case.start.swept, prices, blend) for blend in held], axis=1)


def cost_of(swept: Swept, prices: Matrix, blend: Vector) -> Vector:
    """Cost per kilo of cured bar of a blend (n) at each of s prices (s, p)."""
    money = (prices * blend[swept.places]).sum(axis=1)
    return np.asarray(money / float(swept.cured @ blend), dtype=np.float64)


@lru_cache(maxsize=4)
def _opened(shared: bytes) -> tuple[Case, Pool | None]:
    case: Case = pickle.loads(shared)  # noqa: S301  # our own, from one process to another
    return case, case.start.pool() if case.start.swept.is_linear else None
