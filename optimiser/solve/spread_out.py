"""A few blends as different as can be: the farthest from those there are, again and again, and then each one anew.

Taking the farthest each time leaves at least half of the best smallest gap (Ravi, Rosenkrantz & Tayi 1994,
doi:10.1287/opre.42.2.299). Then each is asked anew against all the others, and takes the place of the old one where it lies
further off. On the 20 goal files of the tree that is never worse than what was taken first, and no worse than the best four of
the corners in 200 random directions on 18; those hold crumbs, and prove nothing (`tests/bench/choices.py`).
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from optimiser.maths.arrays import Vector
from optimiser.model.programme import Programme, eased
from optimiser.model.swapped import Apart, by_group, swapped
from optimiser.problem.wishes import Section
from optimiser.solve.far_proof import Bound, most_swapped
from optimiser.solve.farthest import Crumbs, search, settled
from optimiser.solve.optimum import Cheapest
from optimiser.solve.outcomes import SolverFault, Undecided, Work
from optimiser.solve.progress import about

LEAST_APART = 0.01  # of the fats: blends that swap less are one and the same to a maker
MOST_ROUNDS, FEW = 2, 4  # of asking anew; more than a few blends are asked anew but once
MET = 1e-9  # of a preference's limit: so much short of it is none
GAIN = 0.005  # of the fats: what asking anew must promise


class Spread(NamedTuple):
    """Blends that differ: the first is the one in hand.

    `most`: no blend swaps more against the first. `bounds`: at each step, no blend swaps more against all those before.
    `complete`: no blend was left out because the work ended.
    """

    blends: tuple[Cheapest, ...]
    most: Bound
    bounds: tuple[float, ...]
    complete: bool = True

    def gaps(self, programme: Programme) -> tuple[float, ...]:
        """What each blend swaps at the least against any other, as a part of the fats; nothing for one by itself."""
        groups, points = by_group(programme), [one.point for one in self.blends]
        return tuple(
            min((swapped(groups, one, other) for other in points if other is not one), default=0.0) for one in points
        )


def as_met(programme: Programme, point: Vector) -> Programme:
    """The programme with its preferences held no tighter than a blend meets them: one without pinches may fall a little shorter of them.

    Args:
        programme: one whose preferences are held.
        point: the blend.
    """
    out = programme
    for preference in programme.soft:
        rows = [programme.rows[place] for place in preference.rows]
        places = list(preference.rows)
        reached = programme.matrix[places] @ point[: programme.matrix.shape[1]]
        beyond = np.maximum(programme.row_low[places] - reached, reached - programme.row_high[places])
        if rows[0].wish.section != Section.NEAR and beyond.max() > MET:
            short = max(row.shortfall(point) for row in rows)
            out = eased(out, preference, short + MET * max(1.0, *(abs(row.limit) for row in rows)))
    return out


def spread_out(base: Programme, first: Cheapest, count: int, crumbs: Crumbs, work: Work) -> Spread:
    """So many blends of a programme, the first among them, fewer where there are no more that differ.

    Args:
        base: the rows, the limit on the cost among them.
        first: the blend in hand.
        count: how many in all, the first included.
        crumbs: what is too little of a fat.
        work: what all of it may cost.
    """
    blends, bounds, complete = [first], list[float](), True
    most = Bound(1.0, exact=False, ended=False)
    while len(blends) < count:
        apart = Apart(base, [one.point for one in blends])
        try:
            with about(lambda: f"looking for blends that differ: {len(blends)} found"):
                found = search(apart, first.point, work)
        except Undecided:
            complete = False
            break
        if not found.feasible:
            raise SolverFault("the blend in hand is lost when others are looked for")
        if not bounds:
            most = proved(base, first.point, found.bound, found.objective, work, limited=found.limited)
        bounds.append(min([*bounds[-1:], max(0.0, -found.bound)]))
        complete = complete and not found.limited
        blend = settled(apart, found.point, crumbs, work)
        if apart.least(blend.point) < LEAST_APART:
            break
        blends.append(blend)
    return Spread(tuple(anew(base, blends, crumbs, work)), most, tuple(bounds), complete)


def proved(base: Programme, first: Vector, bound: float, objective: float, work: Work, *, limited: bool) -> Bound:
    """What is known of the most that can be swapped: in exact arithmetic, or where fats are counted by the solver's bound."""
    if base.is_mixed_integer:
        return Bound(min(1.0, max(0.0, -bound)), exact=False, ended=not limited)
    return most_swapped(base, first, -objective, work)


def anew(base: Programme, blends: list[Cheapest], crumbs: Crumbs, work: Work) -> list[Cheapest]:
    """Each blend but the first asked anew against all the others, and kept where it lies further off."""
    out = list(blends)
    rounds = 0 if len(out) <= 2 else MOST_ROUNDS if len(out) <= FEW else 1
    for _ in range(rounds):
        moved = False
        for place in range(1, len(out)):
            others = [one for at, one in enumerate(out) if at != place]
            again = farther(base, out[place], others, crumbs, work)
            if again is not None:
                out[place], moved = again, True
        if not moved:
            break
    return out


def farther(base: Programme, blend: Cheapest, others: list[Cheapest], crumbs: Crumbs, work: Work) -> Cheapest | None:
    """A blend that lies further off from the others than this one does; None where there is none, or the work does not do."""
    apart = Apart(base, [one.point for one in others])
    now = apart.least(blend.point)
    try:
        found = search(apart, blend.point, work)
    except Undecided:
        return None
    if -found.objective < now + GAIN:
        return None
    again = settled(apart, found.point, crumbs, work)
    return again if apart.least(again.point) > now + GAIN else None
