"""The order of the questions: is there a blend, how far can preferences be met, which blend is cheapest, which of equals.

The cost per kilo of cured bar is a ratio N.v / M.v of two linear figures. Dinkelbach's iteration (Management Science 13
(1967) 492-498, doi:10.1287/mnsc.13.7.492) finds its least value exactly by a few re-solves of the same model:
minimise N - r M, take the new ratio of the blend found, until the minimum is zero. It serves mixed-integer programmes
as well.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace

import numpy as np

from optimiser.arrays import Vector
from optimiser.programme import Programme
from optimiser.solver import Live, Outcome, SolverFault, Work

MOST_ROUNDS = 50
CLOSE = 1e-13  # relative: the ratio no longer moves
CRUMB = 1e-9  # money per kilo that is nothing
GIVE = 1e-9  # room left when a result is pinned before the next question


@dataclass(frozen=True, slots=True)
class Cheapest:
    """The cheapest blend: its point (n), cost per kilo cured, and the last solve at that ratio."""

    ratio: float
    point: Vector = field(repr=False)
    outcome: Outcome = field(repr=False)


def least_ratio(live: Live, start: float = 0.0) -> Cheapest | None:
    """Least N.v / M.v over the live model as it stands; None when it holds no blend.

    Args:
        live: the model.
        start: a ratio known to be within reach; where no blend comes below it, it is the answer after one solve.

    Raises:
        SolverFault: the ratio did not settle.
    """
    money, cured = live.programme.money, live.programme.cured
    ratio = start
    best: Cheapest | None = None
    for _ in range(MOST_ROUNDS):
        outcome = live.minimise(money - ratio * cured)
        if not outcome.feasible:
            return None
        if start and ratio == start and outcome.objective >= -CRUMB:
            return Cheapest(start, outcome.point, outcome)
        point = outcome.point
        reached = float(money @ point) / float(cured @ point)
        if best is not None and reached >= ratio * (1.0 - CLOSE):
            return Cheapest(min(reached, ratio), best.point if reached > ratio else point, outcome)
        ratio, best = reached, Cheapest(reached, point, outcome)
    raise SolverFault("the cost per kilo did not settle")


def settle_preferences(live: Live) -> bool:
    """Meet the preferences in order, each as far as those before it allow, and hold them there.

    Returns:
        Whether there is a blend at all.
    """
    programme = live.programme
    if not programme.soft:
        return live.minimise().feasible
    for places in programme.soft:
        objective = np.zeros_like(programme.money)
        objective[list(places)] = 1.0
        outcome = live.minimise(objective)
        if not outcome.feasible:
            return False
        for place in places:
            least = max(0.0, float(outcome.point[place]))
            live.pin(place, least + GIVE * max(1.0, least))
    return True


def solve(programme: Programme, work: Work | None = None) -> tuple[Live, Cheapest | None]:
    """The live model with its preferences pinned, and the cheapest blend if there is one.

    The last solve that the answer rests on is proved elsewhere; a warm one that cannot be is asked for again, cold.

    Args:
        programme: the goals over the shelf.
        work: what may be spent where fats are counted; as much as one answer may where it is not given.
    """
    live = Live(programme, work)
    if programme.soft and not settle_preferences(live):
        return live, None
    return live, least_ratio(live)


def with_choice_fixed(live: Live, found: Cheapest) -> Live:
    """A linear model of the choice made: the live one, or where fats are counted a copy with the fats in use held."""
    programme = live.programme
    if not programme.is_mixed_integer:
        return live
    chosen = np.round(found.point)
    fixed = replace(
        programme,
        column_low=np.where(programme.integer, chosen, programme.column_low),
        column_high=np.where(programme.integer, chosen, programme.column_high),
        integer=np.zeros_like(programme.integer),
    )
    return Live(fixed, live.work)
