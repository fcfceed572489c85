"""House rules that hold wherever the goals leave room for them, and stand aside where they do not.

Such a rule is a row like any other as long as some blend meets it with all else. Where none does, the same goals are
asked without it: it never costs an answer, and is no part of a clash. Then no blend is shown with less superfat than
the goals leave room for, since a leaner one would only be cheaper by a little alkali.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from optimiser.maths.arrays import Vector
from optimiser.measures.practice import Rule
from optimiser.model.programme import Programme, build
from optimiser.problem.goals import GoalSheet
from optimiser.problem.shelf import Shelf
from optimiser.problem.wishes import Origin, WishId
from optimiser.solve.optimum import Cheapest, solve
from optimiser.solve.outcomes import Outcome, Undecided, Work
from optimiser.solve.solver import Live

MOST_ROUNDS = 30
CLOSE = 1e-9  # per cent: the most no longer moves
SAME = 1e-6  # per cent of superfat that is nothing


class Asked(NamedTuple):
    """What was asked in the end: the goals with the rules that stand aside told, their rows, and the cheapest blend."""

    sheet: GoalSheet
    programme: Programme
    live: Live
    found: Cheapest | None


def cheapest(sheet: GoalSheet, shelf: Shelf, work: Work | None = None, freed: WishId | None = None) -> Asked:
    """The cheapest blend, with the rules that yield held if they can be.

    Args:
        sheet: the goals as written; rules that it says stand aside are asked anew.
        shelf: the shelf.
        work: what may be spent where fats are counted.
        freed: a wish whose rows are let go.

    Raises:
        SolverFault: the solver failed.
    """
    sheet = sheet._replace(yielded=frozenset(), most_superfat=None)
    asked = _solved(sheet, shelf, work, freed)
    may = yielding(sheet, asked.programme)
    if asked.found is not None or not may:
        return asked
    eased = sheet._replace(yielded=frozenset(rule.name for rule in may))
    without = _solved(eased, shelf, work, freed)
    if without.found is None:
        return without
    most = most_superfat(without)
    if most is None or most <= _superfat(without.programme, without.found.point) + SAME:
        return without
    held = _solved(eased._replace(most_superfat=most - SAME), shelf, work, freed)
    return without if held.found is None else held


def most_superfat(asked: Asked) -> float | None:
    """The most superfat (%) over the blends that meet what was asked, preferences aside; None where a search did not end.

    The figure is a ratio, so it is found by the same iteration as the cost (Dinkelbach 1967).
    """
    live = Live(asked.programme, asked.live.work)
    columns, width = asked.programme.columns, len(asked.programme.money)
    top, bottom = np.zeros(width), np.zeros(width)
    top[: columns.size], bottom[: columns.size] = 100.0 * columns.unreacted, columns.fat_demand
    assert asked.found is not None
    most = _superfat(asked.programme, asked.found.point)
    for _ in range(MOST_ROUNDS):
        try:
            outcome = live.minimise(most * bottom - top)
        except Undecided:
            return None
        if not outcome.feasible:
            return None
        reached = _superfat(asked.programme, outcome.point)
        if reached <= most + CLOSE:
            return most
        most = reached
    return most


def _superfat(programme: Programme, point: Vector) -> float:
    columns = programme.columns
    blend = point[: columns.size]
    return 100.0 * float(columns.unreacted @ blend) / float(columns.fat_demand @ blend)


def any_blend(sheet: GoalSheet, shelf: Shelf) -> tuple[GoalSheet, Programme, Outcome]:
    """Whether there is any blend at all: the goals with the rules that stand aside told, their rows, and what was found."""
    programme = build(sheet, shelf)
    outcome = Live(programme).minimise()
    may = yielding(sheet, programme)
    if outcome.feasible or not may:
        return sheet, programme, outcome
    eased = sheet._replace(yielded=frozenset(rule.name for rule in may))
    programme = build(eased, shelf)
    return eased, programme, Live(programme).minimise()


def _solved(sheet: GoalSheet, shelf: Shelf, work: Work | None, freed: WishId | None) -> Asked:
    programme = build(sheet, shelf)
    places = programme.members.get(freed, ()) if freed is not None else ()
    return Asked(sheet, programme, *solve(programme, places, work))


def yielding(sheet: GoalSheet, programme: Programme) -> tuple[Rule, ...]:
    """The rules that yield and have a row of the house's own here; a figure of the maker's for one is a goal like others."""
    own = {change.rule for change in sheet.practice}
    held = {name.key for name in programme.members if name.origin == Origin.PRACTICE}
    return tuple(rule for rule in sheet.rules if rule.yields and rule.name in held - own)
