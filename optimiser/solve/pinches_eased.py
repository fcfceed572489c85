"""Rules of the house that give a little more way, where a blend is left with pinches only since they stand to a hair.

A rule that gives way stands at the nearest figure at which there is any blend, and that one blend may hold a gram of a
fat. Let go of the pinches first, and the rules stand a little further off: taken where each moves by a part of one
of its small steps from where it stood, or where as many others give way instead, by hardly more steps in all (what moves
before all else, as the lye does, may move by a hair only with a gram of a fat).
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping

from optimiser.measures.sides import Side
from optimiser.model.programme import Programme
from optimiser.problem.goals import Eased, GoalSheet
from optimiser.problem.house_rules import least_share
from optimiser.problem.wishes import Origin, WishId
from optimiser.solve.easing import NOT_EXACTLY
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
    """Whether no more rules give way than before, and by hardly more steps in all; nothing of a design gives more."""
    if not other.eased or other.yielded != sheet.yielded or len(other.eased) > len(sheet.eased):
        return False
    if any(name.origin != Origin.PRACTICE and ends != sheet.eased.get(name) for name, ends in other.eased.items()):
        return False
    if other.eased.keys() <= sheet.eased.keys():
        return all(
            apart(sheet.eased[name], ends) <= LITTLE * scale_of(sheet, name) for name, ends in other.eased.items()
        )
    return steps(sheet, other) <= steps(sheet, sheet) + LITTLE


def steps(sheet: GoalSheet, other: GoalSheet) -> float:
    """How many small steps the rules of the house stand from their own figures, all together and as dear as where they give way."""
    return math.fsum(
        max(abs(end - rule.value) for end in ends if math.isfinite(end))
        / rule.scale
        * (NOT_EXACTLY if rule.side == Side.EXACTLY else 1.0)
        for name, ends in other.eased.items()
        for rule in sheet.rules
        if name.origin == Origin.PRACTICE and rule.name == name.key
    )


def apart(one: Eased, other: Eased) -> float:
    """How far the ends of a rule lie from each other."""
    ends = [(one.low, other.low), (one.high, other.high)]
    return max(0.0 if before == after else abs(before - after) for before, after in ends)


def scale_of(sheet: GoalSheet, name: WishId) -> float:
    """A small step of a rule of the house; none of what a design asks."""
    scales = [rule.scale for rule in sheet.rules if rule.name == name.key]
    return scales[0] if name.origin == Origin.PRACTICE and scales else 0.0
