"""The blend that differs the most from those in hand, and what is left to settle of it: crumbs, cost and water.

The first question is a search over 0/1 columns (`model/swapped.py`), whose bound holds for every blend. What it answers is
a corner, which may hold a hundredth of a fat, many fats of a little each, and spend money that it need not: so fat by fat a
crumb is left out or brought up, whichever leaves more swapped; then small fats are left out as long as nearly as much is
swapped; and last the least cost is asked with the same fats at what is swapped.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import NamedTuple

import numpy as np

from optimiser.maths.arrays import Vector
from optimiser.measures.sides import Side
from optimiser.model.programme import Programme
from optimiser.model.swapped import DUST, Apart
from optimiser.problem.goals import GoalSheet
from optimiser.problem.house_rules import least_share, names_fat
from optimiser.solve.optimum import Cheapest, least_ratio
from optimiser.solve.outcomes import Outcome, Work
from optimiser.solve.pinches import BODY, bounded, pinches_of, ways
from optimiser.solve.solver import Live
from optimiser.solve.switches import with_choice
from optimiser.solve.tie_break import settle_water

CRUMB = 1.0  # % of the fats: what is a crumb where no rule of the house says so
MOST_ROUNDS = 24  # of crumbs
SMALL = 10.0  # % of the fats: what is tried to be left out for the sake of fewer
WORTH = 0.97  # of what the search found: as much must be swapped still
GIVES = (1e-9, 1e-7, 1e-5)  # of the fats: room that is left when what is swapped is held


class Crumbs(NamedTuple):
    """What counts as too little of a fat here: below `least` per cent, but for fats that the maker names."""

    sheet: GoalSheet
    least: float

    @classmethod
    def of(cls, sheet: GoalSheet) -> Crumbs:
        """The house's own least share; where the maker counts the fats, or the rule is off, one per cent."""
        return cls(sheet, least_share(sheet) or CRUMB)

    def among(self, programme: Programme, point: Vector) -> set[str]:
        """The fats of a blend of which there is too little."""
        return pinches_of(self.sheet, programme, Cheapest(0.0, point, Outcome(feasible=True)), self.least)


def search(apart: Apart, known: Vector, work: Work) -> Outcome:
    """The most that a blend can swap against all of those in hand: the objective is the least of its negative.

    Args:
        apart: the programme.
        known: a blend of its base, so that only better ones are looked for.
        work: is counted up; where it ends the bound still holds.

    Raises:
        Undecided: the work ended before there was anything.
    """
    live = Live(apart.programme, work)
    live.suggest(apart.placed(known))
    return live.minimise(apart.objective)


def settled(apart: Apart, point: Vector, crumbs: Crumbs, work: Work) -> Cheapest:
    """A blend that swaps as much, or nearly so, without crumbs and for the least cost; over the columns of the base.

    Args:
        apart: the programme.
        point: what the search found.
        crumbs: what is too little of a fat.
        work: is counted up.
    """
    worth = WORTH * apart.least(point)
    fats, point = without_crumbs(apart, point, crumbs, work)
    fats, point = with_fewer(apart, point, fats, worth, crumbs, work)
    for give in GIVES:
        live = Live(at_the_same(apart, point, fats, crumbs, give), work)
        found = least_ratio(live)
        if found is not None:
            blend = found.point[: apart.width]
            return found._replace(point=settle_water(Live(with_choice(apart.base, blend), work), blend))
    base = apart.base
    ratio = float(base.money @ point[: apart.width]) / float(base.cured @ point[: apart.width])
    return Cheapest(ratio, point[: apart.width], Outcome(feasible=True, point=point))


def without_crumbs(apart: Apart, point: Vector, crumbs: Crumbs, work: Work) -> tuple[Mapping[str, Side], Vector]:
    """Which fats are left out (at most nothing) or brought up (at least the rule), and the blend that swaps the most then.

    A crumb that can neither go nor grow is kept.
    """
    out: dict[str, Side] = {}
    seen: set[str] = set()
    for _ in range(MOST_ROUNDS):
        found = crumbs.among(apart.base, point) - seen
        if not found:
            break
        fat = min(found, key=lambda name: (point[apart.base.columns.index[name]], name))
        seen.add(fat)
        tried = [
            (again, side)
            for side in ways(apart.base, fat)
            for again in [Live(held(apart, point, {**out, fat: side}, crumbs), work).minimise(apart.objective)]
            if again.feasible
        ]
        if tried:
            best, out[fat] = min(tried, key=lambda item: item[0].objective)
            point = best.point
    return out, point


def with_fewer(  # what there is, what it must keep to, and the work
    apart: Apart, point: Vector, fats: Mapping[str, Side], worth: float, crumbs: Crumbs, work: Work
) -> tuple[Mapping[str, Side], Vector]:
    """The same with small fats left out, the least first, as long as so much is swapped still."""
    columns = apart.base.columns
    out = dict(fats)
    small = {
        fat.name: float(point[place])
        for place, fat in enumerate(columns.fats)
        if DUST < point[place] < SMALL / 100.0 and fat.name not in out
    }
    for fat in sorted(small, key=lambda name: (small[name], name)):
        if point[columns.index[fat]] <= DUST:
            continue
        tried = {**out, fat: Side.AT_MOST}
        again = Live(held(apart, point, tried, crumbs), work).minimise(apart.objective)
        is_worth = again.feasible and -again.objective >= worth and not crumbs.among(apart.base, again.point)
        if is_worth and in_use(apart, again.point) < in_use(apart, point):
            out, point = tried, again.point
    return out, point


def in_use(apart: Apart, point: Vector) -> int:
    """How many fats there are in a blend."""
    return int(np.count_nonzero(point[: apart.base.columns.count] > DUST))


def held(apart: Apart, point: Vector, fats: Mapping[str, Side], crumbs: Crumbs) -> Programme:
    """The programme with crumbs out or brought up, and every choice as it is at the blend that this makes: a linear one."""
    moved = point.copy()
    for name, side in fats.items():
        place = apart.base.columns.index[name]
        moved[place] = 0.0 if side == Side.AT_MOST else max(float(moved[place]), crumbs.least / 100.0)
    return with_choice(bounded(apart.programme, fats, crumbs.least), apart.placed(moved))


def at_the_same(apart: Apart, point: Vector, fats: Mapping[str, Side], crumbs: Crumbs, give: float) -> Programme:
    """The programme over the fats of a blend alone, none of them to become a crumb, with what is swapped held."""
    programme = held(apart, point, fats, crumbs)
    low, high = programme.column_low.copy(), programme.column_high.copy()
    for place, fat in enumerate(apart.base.columns.fats):
        share = float(point[place])
        if share <= DUST:
            high[place] = 0.0
        elif fat.kind in BODY and 100.0 * share >= crumbs.least and not names_fat(crumbs.sheet, fat.known_as, 0.0):
            low[place] = max(low[place], crumbs.least / 100.0)
    low[apart.t] = max(0.0, apart.least(point) - give)
    low[high < low] = high[high < low]
    return replace(programme, column_low=low, column_high=np.maximum(high, low))
