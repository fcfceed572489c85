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
from optimiser.analysis.too_far import missed_too_far
from optimiser.problem.goals import GoalSheet
from optimiser.problem.shelf import Shelf
from optimiser.solve.outcomes import Work
from optimiser.solve.yielding import as_written, cheapest

MOST_WAYS = 2
MOST_MOVES = 2  # wishes of one way: what a maker would change to have the house back
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
    found = [FarOff(whom, missed) for whom, missed in missed_too_far(given)]
    if not found:
        return ()
    if shelf.is_share:  # what is left of a stock by other bars is no line of the maker's
        return tuple(found)
    ways = least_ways(keeping_the_house(sheet, shelf, Work(MOST_WORK)))
    return tuple(one._replace(ways=ways, cost_per_kg=least_cost(sheet, shelf, one.whom)) for one in found)


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
