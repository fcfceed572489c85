"""The order of the questions: is there a blend, how far can preferences be met, which blend is cheapest, which of equals.

The cost per kilo of cured bar is a ratio N.v / M.v of two linear figures. Dinkelbach's iteration (Management Science 13
(1967) 492-498, doi:10.1287/mnsc.13.7.492) finds its least value exactly by a few re-solves of the same model:
minimise N - r M, take the new ratio of the blend found, until the minimum is zero. It serves mixed-integer programmes
as well.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np

from optimiser.maths.arrays import Vector
from optimiser.model.programme import Preference, Programme, eased
from optimiser.problem.wishes import Section
from optimiser.solve.outcomes import Outcome, SolverFault, Undecided, Work
from optimiser.solve.solver import Live
from optimiser.solve.switches import with_choice

MOST_ROUNDS = 50
CLOSE = 1e-13  # relative: the ratio no longer moves
CRUMB = 1e-9  # money per kilo that is nothing
A_GRAM = 1e-3  # kg
SPARED = 0.01  # of what can be used up of a fat: as much is no reason for dearer blends (our judgement)
GIVES = (1e-12, 1e-9, 1e-7, 1e-5)  # room left when a preference is held before the next question, and then more of it


class Cheapest(NamedTuple):
    """The cheapest blend: its point (n), cost per kilo cured, and the last solve at that ratio.

    `short` is by how much each preference falls short, in its unit. `is_limited`: a search among whole numbers ended
    before it was done, so that a cheaper blend, or one that meets a preference further, was not ruled out.
    """

    ratio: float
    point: Vector
    outcome: Outcome
    short: tuple[float, ...] = ()
    is_limited: bool = False

    @property
    def is_short(self) -> bool:
        """Whether a preference is not met in full."""
        return any(short > CRUMB for short in self.short)


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
    limited = False
    for _ in range(MOST_ROUNDS):
        outcome = live.minimise(money - ratio * cured)
        if not outcome.feasible:
            return None
        limited = limited or outcome.limited
        if start and ratio == start and outcome.objective >= -CRUMB:
            return Cheapest(start, outcome.point, outcome, is_limited=limited)
        point = outcome.point
        reached = float(money @ point) / float(cured @ point)
        if best is not None and reached >= ratio * (1.0 - CLOSE):
            return Cheapest(min(reached, ratio), best.point if reached > ratio else point, outcome, is_limited=limited)
        ratio, best = reached, Cheapest(reached, point, outcome)
    raise SolverFault("the cost per kilo did not settle")


def settle_preferences(live: Live, give: float, *, spare: bool = False) -> tuple[float, ...] | None:
    """Meet the preferences in order, each as far as those before it allow, and hold them there.

    Args:
        live: the model; it is left holding every preference at a limit that can be met.
        give: room left when a preference is held, relative to its limit.
        spare: of a fat that is not used up in full a little less will do.

    Returns:
        By how much each falls short, in its unit; None where the model finds no blend after all.
    """
    short: list[float] = []
    for preference in live.programme.soft:
        least = least_shortfall(live, preference)
        if least is None:
            return None
        most = max(abs(live.programme.rows[place].limit) for place in preference.rows)
        by = least + give * max(1.0, most) + (spared(live.programme, preference, least) if spare else 0.0)
        live.become(eased(live.programme, preference, by))
        short.append(least)
    return tuple(short)


def spared(programme: Programme, preference: Preference, least: float) -> float:
    """How much less than the most may be used up of a fat that is not used up in full, kg; nothing of any other preference.

    What the batch weighs depends a little on the other fats, and no grams of one are worth whole fats, another wish or money.
    """
    row = programme.rows[preference.rows[0]]
    return SPARED * max(0.0, row.limit - least) if row.wish.section == Section.USE_UP and least > CRUMB else 0.0


def least_shortfall(live: Live, preference: Preference) -> float | None:
    """By how little a preference can be missed, in the unit of its figure; None where there is no blend.

    The slack of a row on a ratio is the shortfall times the lower half of the ratio, so it is the quotient of the two
    that is minimised (Dinkelbach again).
    """
    programme = live.programme
    slack, weight = np.zeros_like(programme.money), np.zeros_like(programme.money)
    slack[list(preference.shortfalls)] = 1.0
    bottom = programme.rows[preference.rows[0]].bottom
    if bottom is not None:
        weight[: len(bottom)] = bottom
    least, ratio = np.inf, 0.0
    for _ in range(MOST_ROUNDS):
        outcome = live.minimise(slack - ratio * weight)
        if not outcome.feasible:
            return None if np.isinf(least) else least
        missing = max(0.0, float(slack @ outcome.point))
        parts = 1.0 if bottom is None else float(weight @ outcome.point)
        reached = missing / parts if parts > CRUMB else 0.0
        least = min(least, reached)
        if bottom is None or reached <= CRUMB or reached >= ratio * (1.0 - CLOSE) > 0.0:
            return least
        ratio = reached
    raise SolverFault("a preference on a ratio did not settle")


def solve(programme: Programme, freed: Sequence[int] = (), work: Work | None = None) -> tuple[Live, Cheapest | None]:
    """The live model with its preferences held, and the cheapest blend if there is one.

    Preferences cost no goal, so once there is a blend there is one whatever they are held at. Should the solver lose it
    to rounding it is asked again from cold, with a little more room.

    Args:
        programme: the goals over the shelf.
        freed: places of rows that are let go.
        work: what may be spent where fats are counted; as much as one answer may where it is not given.

    Raises:
        SolverFault: it finds none still.
    """
    work = Work() if work is None else work
    live = freed_model(programme, freed, work)
    if not programme.soft:
        return live, least_ratio(live)
    if not live.minimise(np.zeros_like(programme.money)).feasible:
        return live, None
    for give in GIVES:
        found = held(live, give)
        if found is not None:
            return sparing(programme, freed, give, live, found)
        live = freed_model(programme, freed, work)
    raise SolverFault("there is a blend, and the solver loses it when the preferences are held")


def sparing(
    programme: Programme, freed: Sequence[int], give: float, live: Live, found: Cheapest
) -> tuple[Live, Cheapest]:
    """The same with a little less of what is not used up in full, where that saves a part of the cost, or of a later wish, as large."""
    if not may_spare(programme, found.short):
        return live, found
    other = freed_model(programme, freed, live.work)
    try:
        less = held(other, give, spare=True)
    except Undecided:
        return live, found
    if less is None:
        return live, found
    pays = less.ratio < found.ratio * (1.0 - SPARED) or meets_more(programme, found.short, less.short)
    return (other, less) if pays else (live, found)


def may_spare(programme: Programme, short: Sequence[float]) -> bool:
    """Whether there is a fat that is not used up in full, by how far the preferences fall short."""
    return any(spared(programme, *wish) for wish in zip(programme.soft, short, strict=True))


def meets_more(programme: Programme, before: Sequence[float], after: Sequence[float]) -> bool:
    """Whether a wish is met clearly further than before, or more is used up in all, a gram at the least."""
    wishes = list(zip(programme.soft, before, after, strict=True))
    limits = [abs(programme.rows[preference.rows[0]].limit) for preference in programme.soft]
    further = (now < was - (SPARED * limit or 1.0) for (_, was, now), limit in zip(wishes, limits, strict=True))
    more_used = sum(
        was - now
        for preference, was, now in wishes
        if programme.rows[preference.rows[0]].wish.section == Section.USE_UP
    )
    return any(further) or more_used > A_GRAM


def held(live: Live, give: float, *, spare: bool = False) -> Cheapest | None:
    """The cheapest blend with the preferences held; None where the solver loses it or its way."""
    try:
        short = settle_preferences(live, give, spare=spare)
        found = None if short is None else least_ratio(live)
    except Undecided:
        raise
    except SolverFault:
        return None
    return None if found is None or short is None else found._replace(short=short)


def freed_model(programme: Programme, freed: Sequence[int], work: Work) -> Live:
    """A cold model of a programme with some of its rows let go."""
    live = Live(programme, work)
    if freed:
        live.free_rows(freed)
    return live


def with_choice_fixed(live: Live, found: Cheapest) -> Live:
    """A linear model of the choice made: the live one, or where fats are counted a copy with the fats in use held."""
    return Live(fixed_choice(live.programme, found), live.work) if live.programme.is_mixed_integer else live


def fixed_choice(programme: Programme, found: Cheapest) -> Programme:
    """The programme with its 0/1 columns held as they are in a blend found."""
    return with_choice(programme, found.point)
