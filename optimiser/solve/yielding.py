"""House rules that hold wherever the goals leave room for them, and give way where they do not.

Such a rule is a row like any other as long as some blend meets it with all else. Where none does, the same goals are
asked with rules that give way: it never costs an answer, and is no part of a clash. First what alkali and water stand at
moves within its ends, the superfat upwards only. Where that does not do, the other rules of the house, and the limits
of whom the bar is for, give way by as little as may be, all together (the least sum of steps of their scales, and of money,
so that no rule is kept to a hair by fats that nobody would pay for), and the blend is the cheapest with the rules as they
stand then. The floor under the likely superfat stands aside before them beside a superfat that the maker names, and after
all else beside the house's own; then no blend is shown with less superfat than the goals leave room for, since a
leaner one would only be cheaper by a little alkali. `solve/easing.py` has the order, and how far each gives.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import NamedTuple

import numpy as np

from optimiser.maths.arrays import Vector
from optimiser.measures.practice import Rule
from optimiser.measures.sides import Side
from optimiser.model.programme import Programme
from optimiser.planning.building import build
from optimiser.problem.goals import Eased, GoalSheet
from optimiser.problem.shelf import Shelf
from optimiser.problem.wishes import Origin, WishId
from optimiser.solve.easing import SUPERFAT, bare, in_order
from optimiser.solve.estimating import readings
from optimiser.solve.nearest import few_changes
from optimiser.solve.older_first import lots_in_turn
from optimiser.solve.optimum import Cheapest, solve
from optimiser.solve.outcomes import Outcome, Undecided, Work
from optimiser.solve.padding import most_that_helps
from optimiser.solve.pinches import without_pinches
from optimiser.solve.pinches_eased import further_eased
from optimiser.solve.solver import Live

MOST_ROUNDS = 30
CLOSE = 1e-9  # per cent: the most no longer moves
SAME = 1e-6  # per cent of superfat that is nothing
TOLD = 0.1  # per cent of superfat: the step in which a moved one is told


class Asked(NamedTuple):
    """What was asked in the end: the goals with the rules that stand aside told, their rows, and the cheapest blend.

    `before` is the cheapest blend of all where this one leaves pinches out, with the model that it was found by.
    """

    sheet: GoalSheet
    programme: Programme
    live: Live
    found: Cheapest | None
    before: tuple[Live, Cheapest] | None = None


def cheapest(sheet: GoalSheet, shelf: Shelf, work: Work | None = None, freed: WishId | None = None) -> Asked:
    """The cheapest blend, without pinches, with the rules that yield held if they can be, and else as nearly as can be.

    Where there is none even so, the rows are those without all that gives way.

    Args:
        sheet: the goals as written; rules that it says stand aside are asked anew.
        shelf: the shelf.
        work: what may be spent where fats are counted.
        freed: a wish whose rows are let go.

    Raises:
        SolverFault: the solver failed.
    """
    work = Work() if work is None else work
    every = [with_pinches(read, shelf, work, freed) for read in readings(as_written(sheet), shelf)]
    asked = min(every, key=_rank)
    if asked.found is None or asked.sheet.is_bare:
        return asked
    if sheet.near is not None:
        return _in_turn(with_few_changes(asked, shelf, work, freed), shelf, work, freed)

    def solved(other: Programme) -> Cheapest | None:
        return solve(other, other.members.get(freed, ()) if freed is not None else (), work)[1]

    helps = most_that_helps(asked.sheet, asked.programme, asked.found, solved)
    lean = _solved(asked.sheet._replace(most_that_helps=helps), shelf, work, freed) if helps else asked
    asked = lean if lean.found is not None else asked
    asked = _in_turn(asked, shelf, work, freed)
    assert asked.found is not None
    fats = without_pinches(asked.sheet, asked.programme, asked.found, solved)
    tidy = _solved(asked.sheet._replace(no_pinch=fats), shelf, work, freed) if fats else asked
    tidy = asked if tidy.found is None else tidy
    further = _further_eased(tidy, helps, shelf, work, freed) or tidy
    if not (further.sheet.no_pinch or further.sheet.older_first):
        return further
    if further is tidy:
        before = asked if asked.before is None else asked._replace(live=asked.before[0], found=asked.before[1])
    else:
        before = _solved(further.sheet._replace(no_pinch={}, older_first={}), shelf, work, freed)
    return further if before.found is None else further._replace(before=(before.live, before.found))


def _in_turn(asked: Asked, shelf: Shelf, work: Work, freed: WishId | None) -> Asked:
    """The same with older lots used before newer ones, where there are several of a fat and it costs no more than a hair."""
    if asked.found is None or not any(item.fat.lot_of for item in shelf.fats):
        return asked

    def solved(other: Programme) -> Cheapest | None:
        return solve(other, other.members.get(freed, ()) if freed is not None else (), work)[1]

    turn = lots_in_turn(asked.programme, asked.found, solved)
    again = _solved(asked.sheet._replace(older_first=turn), shelf, work, freed) if turn else asked
    if again is asked or again.found is None:
        return asked
    return again._replace(before=asked.before or (asked.live, asked.found))


def _further_eased(
    tidy: Asked, helps: Mapping[str, float], shelf: Shelf, work: Work, freed: WishId | None
) -> Asked | None:
    """The same without the pinches that are left since rules that gave way stand to a hair, if a little more does."""
    if tidy.found is None or not tidy.sheet.eased:
        return None
    bare = as_written(tidy.sheet)._replace(most_that_helps=helps)

    def ask(out: Mapping[str, Side]) -> tuple[GoalSheet, Programme, Cheapest | None]:
        again = with_pinches(bare._replace(no_pinch=out), shelf, work, freed)
        return again.sheet, again.programme, again.found

    sheet = further_eased(
        tidy.sheet, tidy.programme, tidy.found, ask, lambda other: _solved(other, shelf, work, freed).found
    )
    return None if sheet is None else _solved(sheet, shelf, work, freed)


def _rank(asked: Asked) -> tuple[bool, bool, tuple[float, ...], float]:
    """Which of several readings is answered: one with a blend, whose rules stand, the nearest, the cheapest."""
    if asked.found is None:
        return True, False, (), 0.0
    short = () if asked.sheet.near is None else tuple(round(one, 6) for one in asked.found.short)
    return False, bool(asked.sheet.eased), short, asked.found.ratio


def with_few_changes(asked: Asked, shelf: Shelf, work: Work, freed: WishId | None) -> Asked:
    """The nearest blend with as few fats changed as a pinch more of change allows, and without pinches."""
    assert asked.found is not None
    bounds = few_changes(asked.sheet, asked.live, asked.found)
    if not bounds:
        return asked
    tidy = _solved(asked.sheet._replace(between=bounds), shelf, work, freed)
    return asked if tidy.found is None else tidy._replace(before=(asked.live, asked.found))


def with_pinches(sheet: GoalSheet, shelf: Shelf, work: Work, freed: WishId | None) -> Asked:
    """The cheapest blend, whatever the shares of its fats."""
    asked = _solved(sheet, shelf, work, freed)
    may = frozenset(rule.name for rule in yielding(sheet, asked.programme))
    if asked.found is not None:
        return asked
    for other in in_order(sheet, shelf, may, work, freed):
        again = _solved(other, shelf, work, freed)
        if again.found is not None:
            return _with_most(again, shelf, work, freed) if other.yielded else again
    return _solved(bare(sheet, may), shelf, work, freed)


def as_written(sheet: GoalSheet) -> GoalSheet:
    """The goals with every rule of the house at its own figure."""
    bare = sheet._replace(yielded=frozenset(), most_superfat=None, eased={}, is_bare=False)
    return bare._replace(no_pinch={}, between={}, older_first={}, most_that_helps={}, estimate=1.0)


def _with_most(without: Asked, shelf: Shelf, work: Work, freed: WishId | None) -> Asked:
    """The same with as much superfat as there is room for, where the floor under the likely one stands aside."""
    assert without.found is not None
    most = most_superfat(without)
    if most is None or most <= _superfat(without.programme, without.found.point) + SAME:
        return without
    held = _solved(
        without.sheet._replace(most_superfat=most - SAME, eased=told_as(without.sheet, most)), shelf, work, freed
    )
    return without if held.found is None else held


def told_as(sheet: GoalSheet, superfat: float) -> Mapping[WishId, Eased]:
    """The rules that gave way, a superfat of the house's own no higher than it is."""
    top = math.ceil(superfat / TOLD - SAME) * TOLD
    return {
        name: ends._replace(high=round(min(ends.high, top), 6)) if name.key == SUPERFAT else ends
        for name, ends in sheet.eased.items()
    }


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
    every = [_any(read, shelf) for read in readings(as_written(sheet), shelf)]
    return next((one for one in every if one[2].feasible), every[0])


def _any(sheet: GoalSheet, shelf: Shelf) -> tuple[GoalSheet, Programme, Outcome]:
    """The same where it is known how much of the fats each amount is."""
    programme = build(sheet, shelf)
    outcome = Live(programme).minimise()
    may = frozenset(rule.name for rule in yielding(sheet, programme))
    if outcome.feasible:
        return sheet, programme, outcome
    for other in (*in_order(sheet, shelf, may, Work()), bare(sheet, may)):
        programme = build(other, shelf)
        outcome = Live(programme).minimise()
        if outcome.feasible:
            break
    return other, programme, outcome


def _solved(sheet: GoalSheet, shelf: Shelf, work: Work | None, freed: WishId | None) -> Asked:
    programme = build(sheet, shelf)
    places = programme.members.get(freed, ()) if freed is not None else ()
    return Asked(sheet, programme, *solve(programme, places, work))


def yielding(sheet: GoalSheet, programme: Programme) -> tuple[Rule, ...]:
    """The rules on the likely superfat that have a row of the house's own here; a maker's own figure for one is a goal like others."""
    own = {change.rule for change in sheet.practice}
    held = {name.key for name in programme.members if name.origin == Origin.PRACTICE}
    return tuple(rule for rule in sheet.rules if rule.yields and rule.name in held - own)
