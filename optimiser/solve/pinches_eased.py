"""Rules of the house that give a little more way, where a blend is left with pinches only since they stand to a hair.

A rule that gives way stands at the nearest figure at which there is any blend, and that one blend may hold a gram of a
fat. Let go of the pinches first, and the rules stand a little further off: taken where each moves by a part of one
of its small steps from where it stood, and no other rule gives way for it.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping

from optimiser.measures.sides import Side
from optimiser.model.programme import Programme
from optimiser.problem.goals import Eased, GoalSheet
from optimiser.problem.house_rules import least_share
from optimiser.problem.wishes import Origin, WishId
from optimiser.solve.optimum import Cheapest
from optimiser.solve.pinches import MOST_DEARER, pinches_of

MOST_ROUNDS = 4
LITTLE = 0.2  # of a small step of a rule
Reached = tuple[GoalSheet, Programme, Cheapest | None]


def further_eased(
    sheet: GoalSheet,
    programme: Programme,
    found: Cheapest,
    ask: Callable[[Mapping[str, Side]], Reached],
    solve: Callable[[GoalSheet], Cheapest | None],
) -> GoalSheet | None:
    """The goals with rules a little further off and no pinches; None where nothing is gained, or it takes too much.

    Args:
        sheet: the goals as answered, with pinches settled as far as could be.
        programme: their rows.
        found: the blend, with pinches left.
        ask: the goals as written with some fats left out, answered anew.
        solve: the cheapest blend of some goals.
    """
    least = least_share(sheet)
    if least is None or not sheet.eased:
        return None
    left, out = pinches_of(sheet, programme, found, least), dict[str, Side]()
    other, reached = sheet, found
    for _ in range(MOST_ROUNDS):
        if not left:
            break
        out |= dict.fromkeys(sorted(left), Side.AT_MOST)
        other, again, blend = ask(out)
        if blend is None or not is_near(sheet, other):
            return None
        reached, left = blend, pinches_of(other, again, blend, least)
    if not out or left:
        return None
    before = solve(other._replace(no_pinch={}))
    return None if before is None or reached.ratio > before.ratio * (1.0 + MOST_DEARER) else other


def is_near(sheet: GoalSheet, other: GoalSheet) -> bool:
    """Whether no more rules give way than before, and none by much more."""
    if not other.eased or other.yielded != sheet.yielded or not other.eased.keys() <= sheet.eased.keys():
        return False
    return all(apart(sheet.eased[name], given) <= step_of(sheet, name) for name, given in other.eased.items())


def apart(one: Eased, other: Eased) -> float:
    """How far the ends of a rule lie from each other."""
    ends = [(one.low, other.low), (one.high, other.high)]
    return max(0.0 if before == after else abs(before - after) for before, after in ends)


def step_of(sheet: GoalSheet, name: WishId) -> float:
    """How much further a rule of the house may move; none of what a design asks."""
    scales = [rule.scale for rule in sheet.rules if rule.name == name.key]
    return LITTLE * scales[0] if name.origin == Origin.PRACTICE and scales else 0.0
