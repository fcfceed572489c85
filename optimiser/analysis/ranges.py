"""How far a figure can go: its least and greatest value over the blends that meet a set of wishes.

A figure is top.v / bottom.v with both halves linear and the lower one positive, so its extremes are found by the same
iteration as the cheapest cost (Dinkelbach 1967): minimise top - r bottom, take the new ratio, until it settles.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import NamedTuple

import numpy as np

from optimiser.maths.arrays import Vector
from optimiser.measures.sides import Side
from optimiser.model.rows import Expression, Row, end_near, is_between
from optimiser.problem.wishes import WishId
from optimiser.solve.oracle import Oracle
from optimiser.solve.outcomes import Outcome, Undecided

MOST_ROUNDS = 60
SETTLED = 1e-12  # relative
NOTHING = 1e-9  # of what a share is a share of


class Extreme(NamedTuple):
    """The value reached and the blend (a point over the columns) that reaches it."""

    value: float
    point: Vector


def extreme(oracle: Oracle, figure: Row | Expression, sign: int, start: Vector | None = None) -> Extreme | None:
    """The least (sign 1) or greatest (sign -1) value of a figure over the wishes that the oracle now holds.

    Args:
        oracle: holding some wishes.
        figure: what to push.
        sign: 1 for the least, -1 for the greatest.
        start: a blend known to meet the wishes, if there is one.

    Returns:
        None where no blend meets the wishes, or a share of nothing has no end.

    Raises:
        Undecided: fats are counted, and the work ended before the end was known.
    """
    width = len(oracle.programme.money)
    top = padded(sign * figure.top, width)
    if figure.bottom is None:
        outcome = ended(oracle, top)
        return Extreme(sign * float(top @ outcome.point), outcome.point) if outcome.feasible else None
    bottom = padded(figure.bottom, width)
    point = start if start is not None and float(bottom @ start) > NOTHING else most_of(oracle, bottom)
    if point is None:
        return None
    ratio = float(top @ point) / float(bottom @ point)
    for _ in range(MOST_ROUNDS):
        outcome = ended(oracle, top - ratio * bottom)
        if not outcome.feasible:
            return None
        under = float(bottom @ outcome.point)
        if under <= NOTHING:
            if outcome.objective < -NOTHING:
                return None
            break
        reached = float(top @ outcome.point) / under
        if reached >= ratio - SETTLED * max(1.0, abs(ratio)):
            break
        ratio, point = reached, outcome.point
    return Extreme(sign * ratio, point)


def ended(oracle: Oracle, objective: Vector) -> Outcome:
    """The least of an objective, known to be it: asked again from cold where a warm answer cannot be confirmed.

    Raises:
        Undecided: fats are counted, and the work ended before the end was known.
    """
    outcome = oracle.least(objective)
    if outcome.feasible and not oracle.confirmed(outcome, objective):
        oracle.forget()
        outcome = oracle.least(objective)
    if outcome.limited:
        raise Undecided
    return outcome


def most_of(oracle: Oracle, bottom: Vector) -> Vector | None:
    """A blend with something of what a share is a share of; None where there is none.

    Any blend does if it has; a shelf may hold fats without a figure, as a wax that takes up no alkali.
    """
    outcome = oracle.least(None)
    if outcome.feasible and float(bottom @ outcome.point) <= NOTHING:
        outcome = oracle.least(-bottom)
    return outcome.point if outcome.feasible and float(bottom @ outcome.point) > NOTHING else None


def padded(vector: Vector, width: int) -> Vector:
    """A vector with nothing on the columns that it does not speak of."""
    return np.pad(vector, (0, width - len(vector)))


def towards(row: Row) -> tuple[int, ...]:
    """Which way to push a figure to bring it nearest to its limit: down (1) for at most, up (-1) for at least."""
    return {Side.AT_MOST: (1,), Side.AT_LEAST: (-1,), Side.EXACTLY: (1, -1)}[row.side]


def nearest(oracle: Oracle, member: WishId) -> float | None:
    """How near the figure of a wish comes to its limit; None where nothing at all meets the wishes held.

    Args:
        oracle: holding other wishes, and not this one.
        member: whose rows are all on one figure.
    """
    rows = [oracle.programme.rows[place] for place in oracle.programme.members[member]]
    row = whole(rows)
    if row.side != Side.EXACTLY:
        end = extreme(oracle, row, towards(row)[0])
        return None if end is None else end.value
    ends = []
    for up in (True, False):  # fats that are counted leave gaps, so each side is asked from the limit on
        oracle.hold_side(member, up=up)
        # the side that is let go is the one that is missed: where fats are counted the two sides count differently
        missed = next((one for one in rows if one.side == (Side.AT_MOST if up else Side.AT_LEAST)), row)
        if (end := extreme(oracle, missed, 1 if up else -1)) is not None:
            ends.append(end.value)
    oracle.let_go(member)
    return min(ends, key=lambda value: abs(value - row.limit), default=None)


def whole(rows: Sequence[Row], value: float | None = None) -> Row:
    """One row that speaks for a wish: of the two sides of a bare figure, the figure that the maker wrote.

    Of a rule that moves between two ends it is the end nearer to a value.
    """
    same = len({(row.side, row.limit) for row in rows}) == 1  # one row, or a line on each fat
    if same:
        return rows[0]
    limit = middle(rows) if value is None or not is_between(rows) else end_near(rows, value)
    return rows[0]._replace(side=Side.EXACTLY, limit=limit)


def middle(rows: Sequence[Row]) -> float:
    """The figure of a wish: the middle of its sides."""
    return math.fsum(row.limit for row in rows) / len(rows)
