"""Fats that are counted: 0/1 columns on them, and the rows that say what counting means."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import NamedTuple

import numpy as np

from optimiser.maths.arrays import Vector
from optimiser.measures.sides import Side, SubjectKind
from optimiser.model.columns import Columns
from optimiser.model.rows import Row
from optimiser.problem.goals import GoalSheet
from optimiser.problem.limits import Limit
from optimiser.problem.places import in_file
from optimiser.problem.wishes import EACH_FAT, Said, Section, WishId

LEAST_COUNTED = 1.0  # % of the fats from which on a fat counts, where a least number is asked for
COUNTING = "what counting means"


class Switch(NamedTuple):
    """A 0/1 column on a fat: it may be on only where the fat's share (a fraction) is at least `floor`.

    `fats` are the places of its lots, one where it has no several; `is_whole`: it must be on where the fat has any share at all.
    """

    fats: tuple[int, ...]
    column: int
    floor: float
    is_whole: bool


def count_rows(columns: Columns, sheet: GoalSheet) -> tuple[list[Row], tuple[Switch, ...]]:
    """Rows that count fats, and the 0/1 columns that they reach over.

    At most so many: every fat that is in the blend counts, however little there is of it. At least so many: a fat
    counts from a floor on, and less of it is allowed but does not count; so where both are asked each has its switches.
    A smallest share goes with those of the first kind: given up, it leaves no floor behind.
    """
    if not sheet.fat_count:
        return [], ()
    each = next((limit for limit in sheet.fat_count if limit.key == EACH_FAT), None)
    numbers = [limit for limit in sheet.fat_count if limit.key != EACH_FAT]
    least = [limit for limit in numbers if limit.side != Side.AT_MOST]
    most = [limit for limit in numbers if limit.side != Side.AT_LEAST]
    each_fat = by_fat(columns)
    floors = [floor_of(name, sheet) if least else 0.0 for name in each_fat]
    n, first = len(each_fat), columns.size
    lots = list(each_fat.values())
    if least and (most or each is not None):
        whole = [Switch(lots[place], first + place, 0.0, is_whole=True) for place in range(n)]
        counted = [Switch(lots[place], first + n + place, floors[place], is_whole=False) for place in range(n)]
    else:
        is_whole = bool(most) or each is not None
        whole = counted = [Switch(lots[place], first + place, floors[place], is_whole=is_whole) for place in range(n)]
    switches = tuple(whole if whole is counted else [*whole, *counted])
    rows = [row for switch in switches for row in switch_rows(columns, switch, len(switches))]
    if each is not None:
        rows += [each_row(columns, each, switch, len(switches)) for switch in whole]
    for limits, ones, side in ((least, counted, Side.AT_LEAST), (most, whole, Side.AT_MOST)):
        every = row_over(columns, dict.fromkeys((one.column for one in ones), 1.0), len(switches))
        rows += [number_row(limit, side, every) for limit in limits]
    return rows, switches


def by_fat(columns: Columns) -> Mapping[str, tuple[int, ...]]:
    """The fats by name, each with the places of its lots: lots of one fat count as one."""
    found: dict[str, tuple[int, ...]] = {}
    for place, fat in enumerate(columns.fats):
        found[fat.known_as] = (*found.get(fat.known_as, ()), place)
    return found


def floor_of(name: str, sheet: GoalSheet) -> float:
    """The share (a fraction) from which on a fat counts: one per cent, or as little of it as the maker asks for."""
    own = [
        limit.value
        for limit in sheet.shares
        if limit.subject == SubjectKind.FAT and limit.key == name and limit.value > 0.0
    ]
    own += [limit.value for limit in sheet.fat_count if limit.key == EACH_FAT]
    return min([LEAST_COUNTED, *own]) / 100.0


def row_over(columns: Columns, entries: Mapping[int, float], switches: int) -> Vector:
    """A row over the columns and so many switches, with these entries."""
    out = np.zeros(columns.size + switches)
    out[list(entries)] = list(entries.values())
    return out


def switch_rows(columns: Columns, switch: Switch, switches: int) -> Iterator[Row]:
    """What a switch means: on where the fat is in the blend, or only where there is enough of it to count."""
    name = columns.fats[switch.fats[0]].known_as
    share = row_over(columns, dict.fromkeys(switch.fats, 100.0), switches)
    used = row_over(columns, {switch.column: 1.0}, switches)
    if switch.is_whole:
        wish = WishId(Section.PHYSICS, name, Side.AT_MOST, "used")
        said = Said(f"{name} is in the blend only if it counts as used")
        yield Row(wish, name, said, Side.AT_MOST, 100.0, "%", 1.0, COUNTING, share, used)
    if switch.floor > 0.0:
        wish, percent = WishId(Section.PHYSICS, name, Side.AT_LEAST, "counts"), 100.0 * switch.floor
        said = Said(f"{name} counts only from {percent:g} % on")
        yield Row(wish, name, said, Side.AT_LEAST, percent, "%", 1.0, COUNTING, share, used)


def each_row(columns: Columns, limit: Limit, switch: Switch, switches: int) -> Row:
    """A fat that is used has at least this share; the rows of all fats are one wish."""
    wish, why = limit.wish(Section.FATS), "no useless pinches"
    name = columns.fats[switch.fats[0]].known_as
    share = row_over(columns, dict.fromkeys(switch.fats, 100.0), switches)
    used = row_over(columns, {switch.column: 1.0}, switches)
    return Row(wish, name, limit.said, Side.AT_LEAST, limit.value, "%", 1.0, why, share, used, in_file(limit.span))


def number_row(limit: Limit, side: Side, every: Vector) -> Row:
    """How many fats there are, on one side; just so many is a wish of two rows."""
    why = "the maker's goal"
    return Row(
        limit.wish(Section.FATS),
        "fats",
        limit.said,
        side,
        limit.value,
        "fats",
        1.0,
        why,
        every,
        None,
        in_file(limit.span),
    )
