"""Ways out that stay within what is known: no wish moves to where nobody could say whether another of the file is met.

A lye asked for in so many per cent may give way to a weaker one, but where the maker asks for a hardness, not to one so weak
that the hardness of its soap is not known: the file with such a change would be refused.
"""

from __future__ import annotations

from collections.abc import Iterator

from optimiser.measures.measures import rests_on
from optimiser.measures.quantities import quantities
from optimiser.measures.sides import Side, SubjectKind
from optimiser.model.programme import Programme, with_rows
from optimiser.model.rows import Row, from_limit
from optimiser.problem.goals import GoalSheet
from optimiser.problem.known_ranges import (
    MOST_SUPERFAT,
    MOST_TO_ALKALI,
    SUPERFATS,
    WEAKEST_LYE,
    levers_beyond,
    own_limits,
)
from optimiser.problem.limits import NOWHERE, Limit
from optimiser.problem.wishes import Said, Section, WishId

ENDS = {  # how far a figure goes, should it be asked for, and which measures are known
    "lye_concentration": ("water", Side.AT_LEAST, WEAKEST_LYE),
    "water_to_alkali": ("water", Side.AT_MOST, MOST_TO_ALKALI),
    **dict.fromkeys(SUPERFATS, ("free oil", Side.AT_MOST, MOST_SUPERFAT)),
}
WHY = "what the file asks for besides is not known of a soap beyond it"


def within_known(sheet: GoalSheet, programme: Programme) -> Programme:
    """The programme with rows that keep whatever is asked for exactly, and may move, within what is known.

    A wish of one side only ever moves to where it asks for less.

    Args:
        sheet: the goals as written.
        programme: the rows of whatever may move.
    """
    return with_rows(programme, list(ends(sheet, programme)))


def ends(sheet: GoalSheet, programme: Programme) -> Iterator[Row]:
    """A row for each figure that may move beyond what is known of it, where a goal of the maker's rests on it."""
    asked = {limit.key for limit in own_limits(sheet) if limit.subject == SubjectKind.QUANTITY}
    beyond = levers_beyond(sheet)
    movable = {row.figure for name in programme.members if (row := programme.row_of(name)).side == Side.EXACTLY}
    for figure, (lever, side, value) in ENDS.items():
        if figure in movable and lever not in beyond and asked & rests_on(lever):
            said = Said(figure, side, f"{value:g}")
            limit = Limit(figure, SubjectKind.QUANTITY, side, value, quantities()[figure].unit, said, NOWHERE)
            yield from from_limit(programme.columns, limit, WishId(Section.PHYSICS, figure, side, "known"), WHY)
