"""House rules that hold wherever the goals leave room for them, and give way where they do not.

Such a rule is a row like any other as long as some blend meets it with all else. Where none does, the same goals are
asked with rules that give way: it never costs an answer, and is no part of a clash. First the floor under the likely
superfat stands aside by itself, and then no blend is shown with less superfat than the goals leave room for, since a
leaner one would only be cheaper by a little alkali. Where that does not do, the other rules of the house, and the limits
of whom the bar is for, give way by as little as may be, all together (the least sum of steps of their scales, and of money,
so that no rule is kept to a hair by fats that nobody would pay for), and the blend is the cheapest with the rules as they
stand then. A rule that moves within ends only (the house's own lye) is held firm in this as long as there is a blend with it.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import NamedTuple

import numpy as np

from optimiser.maths.arrays import Vector
from optimiser.measures.practice import Rule
from optimiser.measures.sides import Side
from optimiser.model.elastic import with_slack
from optimiser.model.programme import Programme, build, with_rows
from optimiser.model.rows import Row
from optimiser.problem.goals import Eased, GoalSheet
from optimiser.problem.house_rules import may_give_way
from optimiser.problem.near import LEVERS
from optimiser.problem.shelf import Shelf
from optimiser.problem.wishes import Origin, Section, WishId
from optimiser.solve.estimating import readings
from optimiser.solve.nearest import apart_from, few_changes
from optimiser.solve.optimum import Cheapest, freed_model, solve
from optimiser.solve.outcomes import Outcome, Undecided, Work
from optimiser.solve.padding import most_that_helps
from optimiser.solve.pinches import without_pinches
from optimiser.solve.solver import Live

MOST_ROUNDS = 30
CLOSE = 1e-9  # per cent: the most no longer moves
SAME = 1e-6  # per cent of superfat that is nothing
NOT_EXACTLY = 2.0  # how much dearer a step is of what the alkali and the water stand at than one of another rule
OF_WHOM = 3.0  # the same of what the maker names the bar for
STEP_WORTH = 0.1  # of the middle price of the shelf's fats: what a step of a rule is worth
SHARE_STEP = 5.0  # per cent of the fats changed: what a step of a rule is worth near to a recipe in hand
FINEST = 0.1  # of a unit: a rule that gives way stands at a figure that a person would write
NEAR = 1e-4  # of a step of rounding: what the solver leaves of a round figure
FINE_SCALE = 1.0  # rules whose small step is below this are told ten times as finely


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
        return with_few_changes(asked, shelf, work, freed)

    def solved(other: Programme) -> Cheapest | None:
        return solve(other, other.members.get(freed, ()) if freed is not None else (), work)[1]

    helps = most_that_helps(asked.sheet, asked.programme, asked.found, solved)
    lean = _solved(asked.sheet._replace(most_that_helps=helps), shelf, work, freed) if helps else asked
    asked = lean if lean.found is not None else asked
    assert asked.found is not None
    fats = without_pinches(asked.sheet, asked.programme, asked.found, solved)
    if not fats:
        return asked
    tidy = _solved(asked.sheet._replace(no_pinch=fats), shelf, work, freed)
    return asked if tidy.found is None else tidy._replace(before=(asked.live, asked.found))


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
    if may:
        without = _solved(sheet._replace(yielded=may), shelf, work, freed)
        if without.found is not None:
            return _with_most(without, shelf, work, freed)
    for other in eased(sheet, shelf, may, work, freed):
        again = _solved(other, shelf, work, freed)
        if again.found is not None:
            return _with_most(again, shelf, work, freed) if other.yielded else again
    return _solved(sheet._replace(is_bare=True, yielded=may), shelf, work, freed)


def as_written(sheet: GoalSheet) -> GoalSheet:
    """The goals with every rule of the house at its own figure."""
    bare = sheet._replace(yielded=frozenset(), most_superfat=None, eased={}, is_bare=False)
    return bare._replace(no_pinch={}, between={}, most_that_helps={}, estimate=1.0)


def _with_most(without: Asked, shelf: Shelf, work: Work, freed: WishId | None) -> Asked:
    """The same with as much superfat as there is room for, where the floor under the likely one stands aside."""
    assert without.found is not None
    most = most_superfat(without)
    if most is None or most <= _superfat(without.programme, without.found.point) + SAME:
        return without
    held = _solved(without.sheet._replace(most_superfat=most - SAME), shelf, work, freed)
    return without if held.found is None else held


def eased(
    sheet: GoalSheet, shelf: Shelf, may: frozenset[str], work: Work, freed: WishId | None = None
) -> Iterator[GoalSheet]:
    """The goals with rules at the figures to which they must give way; the likely superfat is let go last of all.

    Args:
        sheet: the goals as written.
        shelf: the shelf.
        may: the rules on the likely superfat that are rows here.
        work: what may be spent where fats are counted.
        freed: a wish whose rows are let go.
    """
    for names in dict.fromkeys((frozenset[str](), may)):
        lenient = sheet._replace(yielded=names)
        programme = build(lenient, shelf)
        every = giving(lenient, programme)
        firm = tuple(name for name in every if ends_of(lenient, name) is None and not keeps_levers_out(lenient, name))
        for members in dict.fromkeys((firm, every)):
            point = nearest_to_rules(lenient, programme, members, work, freed)
            if point is None:
                continue
            for room in (0, 1, 10):
                given = dict(given_way(lenient, programme, members, point, room))
                if given:
                    yield lenient._replace(eased=given)


def keeps_levers_out(sheet: GoalSheet, name: WishId) -> bool:
    """Whether a rule keeps waxes or free fatty acids out of a bar that is near to a recipe without them: it gives way last."""
    return sheet.near is not None and name.origin == Origin.PRACTICE and name.key in LEVERS


def ends_of(sheet: GoalSheet, name: WishId) -> tuple[float, float] | None:
    """The ends within which a rule moves, should it be one that does so only where nothing else leaves a blend."""
    if name.origin != Origin.PRACTICE:
        return None
    return next((rule.moves_within for rule in sheet.rules if rule.name == name.key), None)


def within_ends(sheet: GoalSheet, programme: Programme, members: Sequence[WishId]) -> Programme:
    """The programme with rows that keep each rule that may be missed within its ends."""
    rows = []
    for name in members:
        for side, value in zip((Side.AT_LEAST, Side.AT_MOST), ends_of(sheet, name) or (), strict=False):
            own = programme.row_of(name)
            wish = WishId(Section.PHYSICS, name.key, side, "ends")
            rows.append(own._replace(wish=wish, side=side, limit=value))
    return with_rows(programme, rows)


def nearest_to_rules(
    sheet: GoalSheet, programme: Programme, members: Sequence[WishId], work: Work, freed: WishId | None
) -> Vector | None:
    """The blend for which some rules give way by the least sum of steps and money; None where there is none whatever they give."""
    if not members:
        return None
    elastic, costs = with_slack(within_ends(sheet, programme, members), members, None)
    weights = [weight for member in members for weight in _weights(programme, member)]
    places = elastic.members.get(freed, ()) if freed is not None else ()
    live = freed_model(elastic, places, work)
    try:
        outcome = live.minimise(np.concatenate([worth(programme), costs * weights]))
    except Undecided:
        return None
    return outcome.point[: len(programme.money)] if outcome.feasible else None


def worth(programme: Programme) -> Vector:
    """Money in steps of rules, or what is changed of the recipe in hand: so much of the middle price of the shelf is worth one step, so that none is kept at any price."""
    if programme.apart:
        return apart_from(programme, "less") * (100.0 / SHARE_STEP)
    middle = float(np.median(programme.columns.money[: programme.columns.count]))
    return programme.money / (STEP_WORTH * middle) if middle > 0.0 else np.zeros_like(programme.money)


def giving(sheet: GoalSheet, programme: Programme) -> tuple[WishId, ...]:
    """The wishes that give way: the rules of the house, and what whom the bar is for asks; nothing that is the maker's own."""
    own = {change.rule for change in sheet.practice}
    held = {rule.name for rule in sheet.rules if rule.yields or holds_firm(sheet, rule)}
    brought = may_give_way(sheet)
    return tuple(
        name
        for name in programme.members
        if name in brought
        or (name.origin == Origin.PRACTICE and name.key not in own | held and not programme.row_of(name).stands)
    )


def holds_firm(sheet: GoalSheet, rule: Rule) -> bool:
    """Whether a rule is one that alkali and water stand at, and no goal asks for what could move it."""
    return rule.side == Side.EXACTLY and not sheet.asked & set(rule.moved_by)


def _weights(programme: Programme, member: WishId) -> Sequence[float]:
    """How dear a step of each slack of a wish is, beside its scale."""
    places = programme.members[member]
    row = programme.rows[places[0]]
    if member.origin == Origin.DESIGN:
        return (OF_WHOM, OF_WHOM) if len(places) == 1 and row.side == Side.EXACTLY else (OF_WHOM,)
    return (NOT_EXACTLY, NOT_EXACTLY) if len(places) == 1 and row.side == Side.EXACTLY else (1.0,)


def given_way(
    sheet: GoalSheet, programme: Programme, members: Sequence[WishId], point: Vector, room: int
) -> Iterator[tuple[WishId, Eased]]:
    """At which figures the rules stand that a blend misses.

    Args:
        sheet: the goals.
        programme: their rows.
        members: the rules that may be missed.
        point: the blend.
        room: steps of rounding that a rule gives beyond what it must.
    """
    for member in members:
        rows = [programme.rows[place] for place in programme.members[member]]
        if max(row.shortfall(point) / row.scale for row in rows) > SAME:
            ends = ends_of(sheet, member) or (-math.inf, math.inf)
            low, high = _figures(rows, point, room)
            yield member, Eased(max(low, ends[0]), min(high, ends[1]))


def _figures(rows: Sequence[Row], point: Vector, room: int) -> Eased:
    """The ends at which a rule stands for a blend, rounded away from its own figure."""
    low, high = -math.inf, math.inf
    for row in rows:
        step = FINEST if row.scale >= FINE_SCALE else FINEST / 10.0
        value = row.value(point)
        if row.side != Side.AT_MOST:
            low = max(low, min(row.limit, math.floor(value / step + NEAR - room) * step))
        if row.side != Side.AT_LEAST:
            high = min(high, max(row.limit, math.ceil(value / step - NEAR + room) * step))
    return Eased(round(low, 6), round(high, 6))


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
    others = (sheet._replace(yielded=may),) if may else ()
    for other in (*others, *eased(sheet, shelf, may, Work()), sheet._replace(is_bare=True, yielded=may)):
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
