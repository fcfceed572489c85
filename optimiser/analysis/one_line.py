"""A line of the file that sets a limit on each of many fats is one wish: it is kept, moved or given up as a whole.

The rows of such a line (`practice: {one fat: 25 %}`) are wishes by fat where a blend is priced, so that the table says which
fat stands at it. Clashes and ways out are told of lines that a maker can change, and there is but one.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from optimiser.measures.sides import Side, SubjectKind
from optimiser.model.elastic import widened
from optimiser.model.programme import Programme
from optimiser.model.rows import Row
from optimiser.problem.goals import GoalSheet
from optimiser.problem.wishes import Origin, WishId
from optimiser.solve.oracle import Oracle

ALL = 100.0  # per cent


def by_line(programme: Programme, sheet: GoalSheet) -> Programme:
    """The programme with the maker's own figure for a rule on each fat as one wish, whose words name no fat."""
    on_each = {rule.name for rule in sheet.rules if rule.subject == SubjectKind.EACH}
    own = {change.rule for change in sheet.practice} & on_each
    return replace(programme, rows=tuple(as_line(row) if of_line(row, own) else row for row in programme.rows))


def of_line(row: Row, own: set[str]) -> bool:
    """Whether a row is of such a line."""
    return row.origin == Origin.PRACTICE and row.wish.key in own and bool(row.wish.within)


def as_line(row: Row) -> Row:
    """A row on one fat as a row of the line on all of them."""
    return row._replace(wish=row.wish._replace(within=""), said=row.said._replace(subject=row.wish.key))


def is_on_each(rows: Sequence[Row]) -> bool:
    """Whether rows are of a line on each fat, rather than the two sides of one figure."""
    return len(rows) > 1 and rows[0].origin == Origin.PRACTICE and all(row.side == Side.AT_MOST for row in rows)


def least_most(oracle: Oracle, member: WishId, others: Sequence[WishId]) -> float | None:
    """The least figure (%) that a line on each fat could have with other wishes held; None where nothing meets these.

    A column more holds it: the share of each fat is no more than what stands there.
    """
    programme = oracle.programme
    places = list(programme.members[member])
    matrix = np.hstack([programme.matrix, np.zeros((len(programme.matrix), 1))])
    high = programme.row_high.copy()
    matrix[places, -1] = -1.0
    high[places] = 0.0
    helper = Oracle(widened(replace(programme, matrix=matrix, row_high=high), [ALL]), oracle.work)
    helper.hold([*others, member])
    objective = np.zeros(matrix.shape[1])
    objective[-1] = 1.0
    outcome = helper.least(objective)
    return float(outcome.point[-1]) if outcome.feasible else None
