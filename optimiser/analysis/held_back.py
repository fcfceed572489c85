"""What holds back what was to be used up: the wishes beside which no more of it goes in."""

from __future__ import annotations

from optimiser.analysis.conflicts import shrink
from optimiser.measures.sides import Side
from optimiser.model.programme import build, with_rows
from optimiser.model.rows import Row
from optimiser.model.use_up import use_up_row
from optimiser.problem.goals import GoalSheet, UseUp
from optimiser.problem.shelf import Shelf
from optimiser.problem.wishes import Said, Section, WishId
from optimiser.solve.optimum import SPARED
from optimiser.solve.oracle import Oracle
from optimiser.solve.outcomes import SolverFault, Undecided, Work

MOST_WORK = 0.5e6  # of the solver
A_LITTLE = 0.01  # of what is left over: what stands in the way of the next of it, not of all of it at once
BEYOND = 1.1  # times as much as an answer may leave out of what can be used up
HAIR = 1e-6  # relative: what was reached of the others is held with so much room


def held_back(sheet: GoalSheet, shelf: Shelf, wish: UseUp, reached: dict[str, float]) -> tuple[Said, ...]:
    """The wishes of a smallest set that leaves no room for what was to be used up; nothing where that cannot be told.

    Empty as well where the batch itself is too small for it.

    Args:
        sheet: the goals as answered.
        shelf: what there is.
        wish: what is not used up in full.
        reached: how much is used of each of those that come before it, kg by name.
    """
    bare = sheet._replace(use_up=(), prefer=(), near=None, between={}, older_first={}, no_pinch={}, most_that_helps={})
    programme = build(bare, shelf)
    columns = programme.columns
    row, used = use_up_row(columns, wish), reached[wish.key]
    more = A_LITTLE * (row.limit - used) + BEYOND * SPARED * used
    asked = as_goal(row._replace(limit=min(row.limit, used + more)))
    before = [
        as_goal(use_up_row(columns, item)._replace(limit=reached[item.key] * (1.0 - HAIR)))
        for item in sheet.use_up[: sheet.use_up.index(wish)]
    ]
    oracle = Oracle(with_rows(programme, [*before, asked]), Work(MOST_WORK))
    try:
        if oracle.feasible(oracle.members):
            return ()
        clash = shrink(oracle, oracle.members)
    except (SolverFault, Undecided):  # what is told beside an answer never stops it
        return ()
    return tuple(oracle.programme.row_of(name).said for name in clash if name != asked.wish)


def as_goal(row: Row) -> Row:
    """A row that must hold, as one of the maker's shares."""
    return row._replace(wish=WishId(Section.SHARES, row.wish.key, Side.AT_LEAST, "use_up"))
