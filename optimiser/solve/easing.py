"""How far rules of the house give way: by the least sum of steps of their scales, and of money.

What alkali and water stand at moves within its ends, first by itself with all else held, then with the other rules in one
sum; last of all for any wish whatever, and to the ends that it has for that.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import NamedTuple

import numpy as np

from optimiser.maths.arrays import Vector
from optimiser.measures.sides import Side
from optimiser.model.elastic import with_slack
from optimiser.model.programme import Programme, with_rows
from optimiser.model.rows import Row
from optimiser.planning.building import build
from optimiser.problem.goals import Eased, GoalSheet
from optimiser.problem.house_rules import ends_of, may_give_way, moving, wish_of
from optimiser.problem.near import LEVERS
from optimiser.problem.shelf import Shelf
from optimiser.problem.wishes import Origin, Section, WishId
from optimiser.solve.nearest import apart_from
from optimiser.solve.optimum import freed_model
from optimiser.solve.outcomes import Undecided, Work

SAME = 1e-6  # of a step of a rule that is nothing
NOT_EXACTLY = 2.0  # how much dearer a step is of what the alkali and the water stand at than one of another rule
BY_THE_LEAST = 50.0  # the same of the superfat where it moves with nothing but the lye: by no more than it must
OF_WHOM = 3.0  # the same of what the maker names the bar for
STEP_WORTH = 0.1  # of the middle price of the shelf's fats: what a step of a rule is worth
SHARE_STEP = (
    5.0  # per cent of the fats changed: what a step of a rule is worth where a recipe in hand is to be kept near to
)
FINEST = 0.1  # of a unit: a rule that gives way stands at a figure that a person would write
NEAR = 1e-4  # of a step of rounding: what the solver leaves of a round figure
FINE_SCALE = 1.0  # rules whose small step is below this are told ten times as finely
SUPERFAT = "superfat"
ROOMS = (0, 1, 10)  # steps of rounding tried beyond what a rule must give


class Terms(NamedTuple):
    """How rules may give way: which of them (`only` what alkali and water stand at), and whether `last` of all."""

    only: bool = False
    last: bool = False


MOVED = Terms(only=True)
TOGETHER = Terms()
AT_LAST = Terms(last=True)


def in_order(
    sheet: GoalSheet, shelf: Shelf, may: frozenset[str], work: Work, freed: WishId | None = None
) -> Iterator[GoalSheet]:
    """The goals as they may be asked where not every rule can hold, in the order in which they are tried.

    The floor under the likely superfat stands aside last of all where the superfat is the house's own, which moves before
    that; beside a superfat that the maker names it does so before other rules give way.

    Args:
        sheet: the goals as written.
        shelf: the shelf.
        may: the rules on the likely superfat that are rows here.
        work: what may be spent where fats are counted.
        freed: a wish whose rows are let go.
    """
    aside = lean(sheet, may)
    is_own = bool(aside.eased)
    yield from eased(sheet, shelf, MOVED, work, freed)
    if may and not is_own:
        yield aside
        yield from eased(aside, shelf, MOVED, work, freed)
    yield from eased(sheet, shelf, TOGETHER, work, freed)
    if is_own:
        yield from eased(sheet, shelf, AT_LAST, work, freed)
        yield aside
        yield from eased(aside, shelf, MOVED, work, freed)
    if may:
        yield from eased(aside, shelf, TOGETHER, work, freed)
    if not is_own:
        yield from eased(sheet, shelf, AT_LAST, work, freed)
    if may:
        yield from eased(aside, shelf, AT_LAST, work, freed)


def lean(sheet: GoalSheet, may: frozenset[str]) -> GoalSheet:
    """The goals without the floor under the likely superfat; a superfat of the house's own is free upwards then."""
    free = {
        name: Eased(*ends)
        for name, ends in ((name, ends_of(sheet, name, last=True)) for name in moving(sheet, last=True))
        if may and name.key == SUPERFAT and ends is not None
    }
    return sheet._replace(yielded=may, eased=free)


def bare(sheet: GoalSheet, may: frozenset[str]) -> GoalSheet:
    """The goals without all that gives way, and with what alkali and water stand at free within its last ends."""
    return free_to_move(sheet, last=True)._replace(is_bare=True, yielded=may)


def free_to_move(sheet: GoalSheet, *, last: bool = False) -> GoalSheet:
    """The goals with what alkali and water stand at free within its ends, and no rule else that gives way."""
    ends = {name: ends_of(sheet, name, last=last) for name in moving(sheet, last=last)}
    return sheet._replace(eased={name: Eased(*pair) for name, pair in ends.items() if pair is not None})


def eased(sheet: GoalSheet, shelf: Shelf, terms: Terms, work: Work, freed: WishId | None = None) -> Iterator[GoalSheet]:
    """The goals with rules at the figures to which they must give way, as near to their own as may be.

    Args:
        sheet: the goals as they are asked.
        shelf: the shelf.
        terms: which rules, and how far.
        work: what may be spent where fats are counted.
        freed: a wish whose rows are let go.
    """
    programme = build(sheet, shelf)
    members = tuple(name for name in giving(sheet, programme, last=terms.last) if name not in sheet.eased)
    if not terms.last:
        members = tuple(name for name in members if not keeps_levers_out(sheet, name))
    if terms.only:
        members = tuple(name for name in members if ends_of(sheet, name) is not None)
    point = nearest_to_rules(sheet, programme, members, work, freed, terms)
    for room in ROOMS if point is not None else ():
        assert point is not None
        given = dict(given_way(sheet, programme, members, point, room, last=terms.last))
        if given:
            yield sheet._replace(eased={**sheet.eased, **given})


def keeps_levers_out(sheet: GoalSheet, name: WishId) -> bool:
    """Whether a rule keeps waxes or free fatty acids out of a bar that is near to a recipe without them: it gives way last."""
    return sheet.near is not None and name.origin == Origin.PRACTICE and name.key in LEVERS


def within_ends(sheet: GoalSheet, programme: Programme, members: Sequence[WishId], *, last: bool) -> Programme:
    """The programme with rows that keep each rule that may be missed within its ends."""
    rows = []
    for name in members:
        for side, value in zip((Side.AT_LEAST, Side.AT_MOST), ends_of(sheet, name, last=last) or (), strict=False):
            own = programme.row_of(name)
            wish = WishId(Section.PHYSICS, name.key, side, "ends")
            rows.append(own._replace(wish=wish, side=side, limit=value))
    return with_rows(programme, rows)


def nearest_to_rules(
    sheet: GoalSheet,
    programme: Programme,
    members: Sequence[WishId],
    work: Work,
    freed: WishId | None,
    terms: Terms = TOGETHER,
) -> Vector | None:
    """The blend for which some rules give way by the least sum of steps and money; None where there is none whatever they give."""
    if not members:
        return None
    elastic, costs = with_slack(within_ends(sheet, programme, members, last=terms.last), members, None)
    weights = [weight for member in members for weight in _weights(programme, member, terms)]
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


def giving(sheet: GoalSheet, programme: Programme, *, last: bool = False) -> tuple[WishId, ...]:
    """The wishes that give way: the rules of the house, and what whom the bar is for asks; nothing that is the maker's own."""
    own = {change.rule for change in sheet.practice}
    moves = moving(sheet, last=last)
    held = {rule.name for rule in sheet.rules if rule.yields}
    held |= {rule.name for rule in sheet.rules if rule.side == Side.EXACTLY and wish_of(rule) not in moves}
    brought = may_give_way(sheet)
    return tuple(
        name
        for name in programme.members
        if name in brought
        or (name.origin == Origin.PRACTICE and name.key not in own | held and not programme.row_of(name).stands)
    )


def _weights(programme: Programme, member: WishId, terms: Terms) -> Sequence[float]:
    """How dear a step of each slack of a wish is, beside its scale."""
    places = programme.members[member]
    row = programme.rows[places[0]]
    if member.origin == Origin.DESIGN:
        return (OF_WHOM, OF_WHOM) if len(places) == 1 and row.side == Side.EXACTLY else (OF_WHOM,)
    if terms.only and member.key == SUPERFAT:
        return (BY_THE_LEAST, BY_THE_LEAST)
    return (NOT_EXACTLY, NOT_EXACTLY) if len(places) == 1 and row.side == Side.EXACTLY else (1.0,)


def given_way(
    sheet: GoalSheet, programme: Programme, members: Sequence[WishId], point: Vector, room: int, *, last: bool = False
) -> Iterator[tuple[WishId, Eased]]:
    """At which figures the rules stand that a blend misses.

    Args:
        sheet: the goals.
        programme: their rows.
        members: the rules that may be missed.
        point: the blend.
        room: steps of rounding that a rule gives beyond what it must.
        last: whether this is the last of all, with other ends.
    """
    for member in members:
        rows = [programme.rows[place] for place in programme.members[member]]
        if max(row.shortfall(point) / row.scale for row in rows) > SAME:
            ends = ends_of(sheet, member, last=last) or (-math.inf, math.inf)
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
