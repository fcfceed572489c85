"""Whether rules gave way so far that nobody would pour the blend, which wishes bring them back, and what it would cost.

A rule of the house never costs an answer, so goals that leave it no room are met by a blend that is a bar on paper alone. A
rule counts here by how many of its own small steps it is missed by. One that gave way to an amount that the maker names
does not count: eight tenths of coconut oil in a laundry bar is what was asked for.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from optimiser.analysis.giving_way import GaveWay
from optimiser.analysis.relaxations import WayOut, keeping_the_house
from optimiser.measures.sides import Side
from optimiser.problem.goals import GoalSheet
from optimiser.problem.shelf import Shelf
from optimiser.problem.wishes import Section
from optimiser.solve.outcomes import Work
from optimiser.solve.yielding import as_written, cheapest

MOST_STEPS = (
    4.0  # of one rule: lauric oils past 55 %, waxes past 6 %; one step is a small change, four are another soap
)
MOST_TOGETHER = 8.0  # steps of all rules: several a little off are a bar still, eight steps of them are not
MOST_RULES = 5  # that gave way at all
MOST_OF_WHOM = 3.0  # steps of all that whom the bar is for asks: the fats it is sold for are gone
MOST_WAYS = 2
MOST_MOVES = 2  # wishes of one way: what a maker would change to have the house back
NAMES = (Section.SHARES, Section.ADDITIVES, Section.LIQUIDS)  # sections in which a maker names an amount
MOST_WORK = 2e6  # of the solver, for the ways back


class FarOff(NamedTuple):
    """What gave way too far: of the house, or of whom the bar is for (`whom`).

    `missed` are the rules, the furthest first; `ways` what would bring all rules back, smallest first; `cost_per_kg` the
    least at which what the bar is for could be had if the maker's own limits on the cost were not there.
    """

    whom: str
    missed: tuple[GaveWay, ...]
    ways: tuple[WayOut, ...] = ()
    cost_per_kg: float | None = None


def far_off(sheet: GoalSheet, shelf: Shelf, given: Sequence[GaveWay]) -> tuple[FarOff, ...]:
    """What gave way too far, whom the bar is for first; nothing for most blends.

    Args:
        sheet: the goals as answered.
        shelf: the shelf.
        given: every rule that gave way.
    """
    asked = [item for item in given if not is_named(item)]
    found = [
        FarOff(whom, missed) for whom in whoms(asked) for missed in [too_far(of_whom(asked, whom), whom)] if missed
    ]
    told = {one.whom for one in found}
    if told:  # where one is not met, what the others lack is told as well
        found += [
            FarOff(whom, tuple(sorted(of_whom(asked, whom), key=lambda item: -item.steps)))
            for whom in whoms(asked)
            if whom not in told
        ]
    house = too_far([item for item in asked if item.wish.section == Section.PRACTICE], "")
    if house:
        found.append(FarOff("", house))
    if not found:
        return ()
    ways = least_ways(keeping_the_house(sheet, shelf, Work(MOST_WORK)))
    return tuple(one._replace(ways=ways, cost_per_kg=least_cost(sheet, shelf, one.whom)) for one in found)


def is_named(item: GaveWay) -> bool:
    """Whether a rule gave way to an amount that the maker names."""
    return any(wish.section in NAMES and wish.side != Side.AT_MOST for wish, _ in item.against)


def whoms(given: Sequence[GaveWay]) -> tuple[str, ...]:
    """Whom the bar is for, of all whose limits gave way."""
    return tuple(dict.fromkeys(item.wish.within for item in given if item.wish.section == Section.FOR))


def of_whom(given: Sequence[GaveWay], whom: str) -> list[GaveWay]:
    """What one of those asks, and gave way."""
    return [item for item in given if item.wish.section == Section.FOR and item.wish.within == whom]


def too_far(given: Sequence[GaveWay], whom: str) -> tuple[GaveWay, ...]:
    """The rules that gave way, the furthest first, if that is too far; else none."""
    steps = [item.steps for item in given]
    if whom:
        is_far = sum(steps) > MOST_OF_WHOM
    else:
        is_far = max(steps, default=0.0) > MOST_STEPS or sum(steps) > MOST_TOGETHER or len(steps) >= MOST_RULES
    return tuple(sorted(given, key=lambda item: -item.steps)) if is_far else ()


def least_ways(ways: Sequence[WayOut]) -> tuple[WayOut, ...]:
    """The smallest ways of one or two wishes; where there is none, the one of the fewest."""
    short = [way for way in ways if len(way.moves) <= MOST_MOVES and not way.is_lean]
    return tuple(short[:MOST_WAYS] or sorted(ways, key=lambda way: len(way.moves))[:1])


def least_cost(sheet: GoalSheet, shelf: Shelf, whom: str) -> float | None:
    """The least cost per kilo at which all holds that whom the bar is for asks, were there no limit on the cost.

    None where there is no such limit, or no such blend.
    """
    kept = tuple(limit for limit in sheet.goals if limit.key != "cost")
    if not whom or len(kept) == len(sheet.goals):
        return None
    firm = tuple(item._replace(gives_way=item.gives_way and item.design != whom) for item in sheet.brought)
    asked = cheapest(as_written(sheet)._replace(goals=kept, brought=firm), shelf, Work(MOST_WORK))
    return None if asked.found is None else asked.found.ratio
