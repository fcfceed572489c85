"""`reach`: for every measure, the cost and each named share, the room that the other goals leave."""

from __future__ import annotations

from pathlib import Path

import numpy as np

from optimiser.analysis.ranges import NOTHING, Extreme, extreme
from optimiser.answers.asked import read_question
from optimiser.answers.blend import settled, why_not
from optimiser.answers.reach_results import Reach, ReachLine
from optimiser.answers.results import NoBlend
from optimiser.answers.row_figures import as_shown
from optimiser.maths.arrays import Vector
from optimiser.measures.measures import measures
from optimiser.measures.profiles import floored
from optimiser.measures.quantities import quantities
from optimiser.measures.sides import Side
from optimiser.model.columns import Columns
from optimiser.model.programme import Programme
from optimiser.model.rows import Expression, Row, cost, quantity
from optimiser.planning.building import build
from optimiser.problem.known_ranges import unknown_measures
from optimiser.problem.wishes import Origin, WishId
from optimiser.solve.oracle import Oracle
from optimiser.solve.outcomes import MOST_WORK, Undecided, Work
from optimiser.solve.progress import about
from optimiser.solve.yielding import cheapest

REACH_WORK = MOST_WORK  # of the solver, for the ends of all figures
BATCH = ("superfat", "lye_concentration")
NAMED = (
    Origin.GOAL,
    Origin.SHARE,
    Origin.ADDITIVE,
    Origin.LIQUID,
    Origin.DESIGN,
)  # wishes whose figures the file names


def reach(
    goal_file: Path, shelf_file: Path | None = None, near: Path | None = None, *, on: str = ""
) -> Reach | NoBlend:
    """The least and greatest of every figure over the blends that meet the goals on all others.

    A figure's own limits are lifted while it is asked, so that they can be seen against the room there is; not what the
    shelf sets: its stocks, and its own ends to additives. `on` is the day by which lots are in date.

    Raises:
        BadInput: with every fault of the files.
        SolverFault: the solver failed; no fault of the files.

    >>> from pathlib import Path
    >>> import optimiser
    >>> line = next(one for one in optimiser.reach(Path("goals/budget.yaml")).lines if one.id == "hardness")
    >>> line.low <= line.now <= line.high
    True
    """
    question = read_question(goal_file, shelf_file, near, on=on)
    shelf = question.shelf
    sheet, programme, live, found = cheapest(question.goals, shelf)[:4]
    if found is None:
        return why_not(question._replace(goals=sheet), programme)
    now = settled(live, found).point
    if sheet.yielded or sheet.most_that_helps or sheet.between or sheet.older_first:
        # ends of the blend's own, as much superfat as there is room for, few fats changed: the room is asked without that
        programme = build(sheet._replace(most_superfat=None, most_that_helps={}, between={}, older_first={}), shelf)
    oracle = Oracle(programme, Work(REACH_WORK))
    lines: list[ReachLine] = []
    for figure in figures(programme, unknown_measures(sheet)):
        own = [name for name in oracle.members if is_limit_of(programme.row_of(name), figure)]
        oracle.hold(name for name in oracle.members if name not in own)
        with about(lambda: f"working out the room of each figure: {len(lines)} done"):
            ends = [end_of(oracle, figure, sign, now) for sign in (1, -1)]
        same = [name for name in own if programme.row_of(name).figure == figure.figure]
        limits = [row for name in same for row in rows_of(programme, name) if is_told_alike(row, figure)]
        lines.append(
            ReachLine(
                id=figure.figure,
                words=named(figure.figure),
                unit=figure.unit,
                low=as_told(figure, ends[0].value) if ends[0] is not None else None,
                high=as_told(figure, ends[1].value) if ends[1] is not None else None,
                now=as_shown_beside(limits, value_of(figure, now)),
                low_limit=max(
                    (as_shown(row, in_unit(row, figure)) for row in limits if row.side != Side.AT_MOST), default=None
                ),
                high_limit=min(
                    (as_shown(row, in_unit(row, figure)) for row in limits if row.side != Side.AT_LEAST), default=None
                ),
                is_share=figure.figure not in quantities(),
            )
        )
    return Reach(
        *(sheet.title, shelf.currency, sheet.path, shelf.title, tuple(lines)),
        complete=not oracle.work.gave_up,
        warnings=question.warnings,
        is_near=sheet.near is not None,
    )


def as_shown_beside(limits: list[Row], value: float) -> float:
    """A figure of the blend in as many digits as the limits on it are shown in."""
    for row in limits:
        value = as_shown(row, value)
    return value


def end_of(oracle: Oracle, figure: Expression, sign: int, start: Vector) -> Extreme | None:
    """One end of a figure's room, or None where the work did not do; then nothing further is asked.

    What is less the spread of lots has no least that a model of it knows: it only holds the spread from below.
    """
    lots = oracle.programme.lots
    if sign > 0 and lots is not None and len(figure.top) > lots.norm and figure.top[lots.norm] < 0.0:
        return None
    if not oracle.work.left:
        oracle.work.end()
        return None
    try:
        return extreme(oracle, figure, sign, start)
    except Undecided:
        oracle.work.end()
        return None


def is_limit_of(row: Row, figure: Expression) -> bool:
    """Whether a wish is a limit on the figure itself, to be lifted while it is asked.

    How much of a fat is in stock, and how many there are, is not; an end that the shelf itself sets is kept by every bar.
    The house's own floor under the likely superfat is one on the superfat too: it yields to what the maker wants of that.
    """
    same = row.figure == figure.figure
    floor = figure.figure == "superfat" and row.figure == "likely_superfat" and row.origin == Origin.PRACTICE
    return (same or floor) and row.origin not in (Origin.STOCK, Origin.COUNT) and not row.stands


def rows_of(programme: Programme, name: WishId) -> list[Row]:
    """The rows of a wish."""
    return [programme.rows[place] for place in programme.members[name]]


def is_told_alike(row: Row, figure: Expression) -> bool:
    """Whether a limit can be told in the unit of the figure: grams of this batch are no share of any batch's fats."""
    return row.unit == figure.unit or figure.figure == "cost"


def in_unit(row: Row, figure: Expression) -> float:
    """A limit in the unit of the figure: a cost may be asked for by the bar or the pound."""
    if row.bottom is None or figure.bottom is None:
        return row.limit
    biggest = int(np.argmax(np.abs(row.bottom)))
    return row.limit * float(row.bottom[biggest]) / float(figure.bottom[biggest])


def figures(programme: Programme, unknown: frozenset[str] = frozenset()) -> list[Expression]:
    """Measures, superfat and lye, cost, and then whatever else a wish names; not what cannot be known of it."""
    columns: Columns = programme.columns
    told = [name for name in (*measures(), *BATCH) if name not in unknown]
    out = [figure for name in told if not np.isnan((figure := quantity(columns, name)).top).any()]
    out.append(cost(columns, "kg"))
    known = {item.figure for item in out}
    for row in programme.rows:
        named_by_maker = row.origin in NAMED
        if named_by_maker and row.figure not in known:
            known.add(row.figure)
            out.append(Expression(row.figure, row.unit, row.scale, row.top, row.bottom))
    return out


def named(figure: str) -> str:
    """What a figure is called."""
    found = quantities().get(figure)
    return found.words if found is not None else figure


def as_told(figure: Expression, value: float) -> float:
    """A figure no lower than it is ever told."""
    known = measures().get(figure.figure)
    return value if known is None else floored(known, value)


def value_of(figure: Expression, point: Vector) -> float:
    """A figure at a blend; zero where it is a share of nothing."""
    top = float(figure.top @ point[: len(figure.top)])
    if figure.bottom is None:
        return as_told(figure, top)
    bottom = float(figure.bottom @ point[: len(figure.bottom)])
    return top / bottom if bottom > NOTHING else 0.0
