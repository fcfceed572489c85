"""What two limits cost together: a grid of answers, each asked by itself."""

from __future__ import annotations

from optimiser.analysis.laid_points import Laid
from optimiser.answers.curve_values import CurveGrid, GridAxis
from optimiser.answers.moved_question import MovedQuestion, directions
from optimiser.answers.results import NoBlend
from optimiser.answers.tradeoff import Span, hardest_of, no_blend_at, start_of
from optimiser.files.curve_key import CurveKey
from optimiser.measures.sides import Side
from optimiser.problem.goals import near_to
from optimiser.problem.moved_limit import at_figure, of_key, with_limit
from optimiser.problem.question import Question
from optimiser.recipe import handling
from optimiser.solve.progress import about
from optimiser.text.codes import Code
from optimiser.text.diagnostics import BadInput, Diagnostic

STEPS = 8  # limits of each of the two
COUNTED_STEPS = 5  # the same where fats are counted, and each answer is a search
DIGITS = 6
SHORT_OF_END = 1e-6  # of a range: rounding may leave no blend at its very end


def grid_of(question: Question, keys: tuple[CurveKey, CurveKey]) -> CurveGrid | NoBlend:
    """The cost of the cheapest blend at each pair of limits.

    Args:
        question: the goals and the shelf.
        keys: the two limits that move, the first with its range if one was named.

    Raises:
        BadInput: both are one and the same, or one of them is an exact figure, or stands at one figure alone.
        SolverFault: the solver failed.
    """
    first, second = keys
    if (first.limit.key, first.limit.side) == (second.limit.key, second.limit.side):
        raise BadInput([Diagnostic(Code.USAGE, "both limits are the same one", "name another after --and")])
    for key in keys:
        if key.limit.side == Side.EXACTLY:
            message = f"{key.limit.said.subject} is an exact figure in the file, and a grid is of limits on one side"
            raise BadInput([Diagnostic(Code.USAGE, message, "say --side or --and-side")])
    moves = tuple(moved_of(question, key, other) for key, other in ((first, second), (second, first)))
    axes: list[GridAxis] = []
    for key, moved in zip(keys, moves, strict=True):
        found = limits_of(question, key, moved)
        if found is None:
            return no_blend_at(question, moved, moved.limit.value)
        axes.append(GridAxis(moved.wish, key.limit.said.subject, key.limit.unit, key.limit.side, found))
    found_at: list[list[Laid | None]] = []
    with about(lambda: f"asking the grid: {len(found_at)} of {len(axes[0].limits)} rows"):
        for limit in axes[0].limits:
            there = MovedQuestion(
                with_limit(question.goals, at_figure(first.limit, limit)), question.shelf, second.limit
            )
            found_at.append([there.laid_at(value) for value in axes[1].limits])
    return CurveGrid(
        title=question.goals.title,
        currency=question.shelf.currency,
        goal_file=question.goals.path,
        shelf_title=question.shelf.title,
        axes=(axes[0], axes[1]),
        costs=tuple(tuple(None if one is None else one.cost for one in row) for row in found_at),
        as_written=tuple(tuple(one is not None and not one.state.gave_way for one in row) for row in found_at),
        cautions=handling.without_recipe(),
        warnings=question.warnings,
        shelf_file=question.shelf.path,
        near_to=near_to(question.goals),
    )


def loosest(key: CurveKey) -> float:
    """The easiest limit of a range."""
    return key.low if key.limit.side == Side.AT_LEAST else key.high


def moved_of(question: Question, key: CurveKey, other: CurveKey) -> MovedQuestion:
    """The question in which one limit moves and the other asks for next to nothing."""
    goals = with_limit(question.goals, at_figure(other.limit, loosest(other)))
    held = [one for one in of_key(question.goals, key.limit.key, key.limit.subject) if one.side == key.limit.side]
    value = held[0].value if held else loosest(key)
    return MovedQuestion(goals, question.shelf, key.limit._replace(value=value))


def limits_of(question: Question, key: CurveKey, moved: MovedQuestion) -> tuple[float, ...] | None:
    """The limits of one axis, from where it costs nothing to the hardest with the rules as written; None where there is no blend.

    Where a range was named, or the rules as written hold no blend at all, it is the hardest with all that gives way let go.
    """
    up = directions(key.limit.side)[0]
    free = moved.answered(moved.limit.value, freed=True)
    if free.found is None:
        return None
    anchor = moved.value_of(free.found.point)
    span = Span(key.low, key.high, key.low_named, key.high_named)
    start, stop = start_of(key.limit.side, up, span, None, anchor), span.high if up > 0 else span.low
    stop = moved.last_that_may_be_asked(start, stop)
    written = hardest_of(moved, moved.programme_at, start, stop, up)
    hardest = hardest_of(moved, moved.bare_at, start, stop, up) if key.low_named or key.high_named else written
    if hardest is None:
        hardest = hardest_of(moved, moved.bare_at, start, stop, up)
    if hardest is None:
        return None
    end = stop if up * (hardest - stop) >= 0.0 else hardest - up * SHORT_OF_END * abs(hardest - start)
    if up * (end - start) <= 0.0:
        message = f"the other goals leave {key.limit.said.subject} no room to move"
        raise BadInput([Diagnostic(Code.USAGE, message, "leave it out, or let the other goals go a little")])
    steps = COUNTED_STEPS if question.goals.fat_count else STEPS
    found = [start + (end - start) * place / (steps - 1) for place in range(steps)]
    return tuple(sorted(round(value, DIGITS) if value not in (start, end) else value for value in found))
