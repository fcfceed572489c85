"""How far each figure of a bar could go with the other goals held.

While one limit is moved most ends stay where they are, since the blend that shows one stands off that limit before and after.
Its row is then none that the end rests on (a row that an optimum does not touch has no multiplier), so the same blend proves the
same end. Only the others are asked again.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import NamedTuple

import numpy as np

from optimiser.analysis.ranges import Extreme
from optimiser.answers.reach import REACH_WORK, as_told, end_of, figures, is_limit_of
from optimiser.maths.arrays import Vector
from optimiser.model.programme import Programme, build
from optimiser.problem.goals import GoalSheet
from optimiser.problem.known_ranges import unknown_measures
from optimiser.problem.shelf import Shelf
from optimiser.problem.wishes import WishId
from optimiser.solve.optimum import Cheapest
from optimiser.solve.oracle import Oracle
from optimiser.solve.outcomes import Work
from optimiser.solve.switches import with_choice

OFF = 1e-7  # relative: a row further off than this is not touched
ENDS = (1, -1)


class Room(NamedTuple):
    """The ends of one figure; None where there is none, or it is not known."""

    id: str
    low: float | None
    high: float | None


class Ends(NamedTuple):
    """Every end of a programme with the blend that shows it, to begin from when a limit is moved."""

    programme: Programme
    found: dict[tuple[str, int], Extreme]
    asked: int = 0
    rooms: tuple[Room, ...] = ()


def open_rows(sheet: GoalSheet, shelf: Shelf) -> Programme:
    """The rows by which room is asked: without ends that are the blend's own (as `reach` has it)."""
    return build(sheet._replace(most_superfat=None, most_that_helps={}, between={}), shelf)


def room(
    sheet: GoalSheet,
    shelf: Shelf,
    found: Cheapest,
    before: Ends | None = None,
    *,
    is_held: bool = False,
    go_on: Callable[[], bool] = lambda: True,
) -> Ends | None:
    """The room of every figure with the other goals held.

    Args:
        sheet: the goals as they were answered.
        shelf: what there is.
        found: the blend.
        before: the same with one limit elsewhere.
        is_held: fats that are counted are held as they are in the blend.
        go_on: asked before each figure whether anybody still waits.

    Returns:
        None where nobody waits any more.
    """
    programme = open_rows(sheet, shelf)
    if is_held and programme.is_mixed_integer:
        programme = with_choice(programme, found.point)
    oracle = Oracle(programme, Work(REACH_WORK))
    moved = None if before is None else moved_rows(before.programme, programme)
    kept: dict[tuple[str, int], Extreme] = {}
    rooms, asked = [], 0
    for figure in figures(programme, unknown_measures(sheet)):
        if not go_on():
            return None
        own = [name for name in oracle.members if is_limit_of(programme.row_of(name), figure)]
        touching = None if moved is None else moved - places_of(programme, own)
        ends: list[float | None] = []
        for sign in ENDS:
            old = unmoved(before, programme, touching, (figure.figure, sign))
            if old is None:
                oracle.hold(name for name in oracle.members if name not in own)
                asked += 1
                old = end_of(oracle, figure, sign, found.point)
            if old is not None:
                kept[figure.figure, sign] = old
            ends.append(None if old is None else as_told(figure, old.value))
        rooms.append(Room(figure.figure, ends[0], ends[1]))
    return Ends(programme, kept, asked, tuple(rooms))


def unmoved(before: Ends | None, after: Programme, touching: set[int] | None, name: tuple[str, int]) -> Extreme | None:
    """An end that stays where it was although some rows moved; None where it is to be asked again."""
    old = None if before is None else before.found.get(name)
    if old is None or before is None or touching is None:
        return None
    return old if stands_off(before.programme, after, touching, old.point) else None


def places_of(programme: Programme, names: Sequence[WishId]) -> set[int]:
    """Where the rows of some wishes stand."""
    return {place for name in names for place in programme.members[name]}


def moved_rows(before: Programme, after: Programme) -> set[int] | None:
    """The rows in which two programmes differ; None where they differ in more."""
    if before.matrix.shape != after.matrix.shape or [row.wish for row in before.rows] != [
        row.wish for row in after.rows
    ]:
        return None
    same_columns = np.array_equal(before.column_low, after.column_low) and np.array_equal(
        before.column_high, after.column_high
    )
    if not same_columns or not np.array_equal(before.integer, after.integer):
        return None
    moved = (before.row_low != after.row_low) | (before.row_high != after.row_high)
    moved |= (before.matrix != after.matrix).any(axis=1)
    return set(np.flatnonzero(moved).tolist())


def stands_off(before: Programme, after: Programme, places: set[int], point: Vector) -> bool:
    """Whether a blend stands off the bounds of some rows, as they were and as they are."""
    if not places or before.is_mixed_integer:
        return not places
    index = sorted(places)
    for programme in (before, after):
        activity = programme.matrix[index] @ point
        low, high = programme.row_low[index], programme.row_high[index]
        near = OFF * np.maximum(1.0, np.abs(activity))
        if not ((activity > low + near) & (activity < high - near)).all():
            return False
    return True
