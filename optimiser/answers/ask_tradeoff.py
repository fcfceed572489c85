"""The cost curve of a limit, or of two, asked by name: of a goal file, or of goals and a shelf as values."""

from __future__ import annotations

from pathlib import Path

from optimiser.answers.asked import read_question
from optimiser.answers.curve_values import Curve, CurveGrid
from optimiser.answers.results import NoBlend
from optimiser.answers.tradeoff import Span, curve_of
from optimiser.files.curve_key import CurveKey, Typed, read_curve_key
from optimiser.problem.goals import GoalSheet, over
from optimiser.problem.known_ranges import known_of
from optimiser.problem.moved_limit import at_figure, with_limit
from optimiser.problem.question import Question
from optimiser.problem.shelf import Shelf
from optimiser.problem.untold import in_play


def tradeoff(
    goal_file: Path,
    of: str,
    *,
    side: str | None = None,
    start: str | None = None,
    stop: str | None = None,
    shelf_file: Path | None = None,
) -> Curve | NoBlend:
    """What the limit on one figure costs, over all limits that it could have while the other goals hold.

    Args:
        goal_file: the maker's YAML.
        of: what the limit is on, by the name that it has in a goal file: "hardness", "superfat", "palm oil", "palm".
        side: "at_least" or "at_most", where the file has none or both.
        start: the first figure, as it would be written in the file.
        stop: the last one.
        shelf_file: used in place of the file's own shelf.

    Raises:
        BadInput: with every fault of the files, or of what is asked.
        SolverFault: the solver failed.

    >>> from pathlib import Path
    >>> import optimiser
    >>> curve = optimiser.tradeoff(Path("goals/fine-swirl.yaml"), "superfat", side="at_least")
    >>> curve.exact, [round(point.limit, 1) for point in curve.points if point.breakpoint]
    (True, [3.6, 5.8])
    """
    return of_question(read_question(goal_file, shelf_file), Typed(of, side, start, stop))


def tradeoff_for(
    sheet: GoalSheet,
    shelf: Shelf,
    of: str,
    *,
    side: str | None = None,
    start: float | None = None,
    stop: float | None = None,
) -> Curve | NoBlend:
    """The same for goals and a shelf as values; figures are in the unit that `of` has.

    Raises:
        BadInput: of what is asked nothing is known, or nothing can be.
        SolverFault: the solver failed.

    >>> from optimiser import at_least, goals_of, shelf_of, tradeoff_for
    >>> shelf = shelf_of({"olive oil": 7.4, "coconut oil": 3.1}, sodium_hydroxide=2.4)
    >>> curve = tradeoff_for(goals_of(at_least("olive oil", 80), practice=False), shelf, "olive oil")
    >>> [round(point.limit) for point in curve.points][-1], curve.exact
    (100, True)
    """
    sheet = known_of(over(sheet, shelf))
    unit = read_curve_key(Typed(of, side), sheet, shelf).limit.unit
    first, last = (None if value is None else f"{value!r}{' %' if unit == '%' else ''}" for value in (start, stop))
    return of_question(Question(sheet, in_play(sheet, shelf)), Typed(of, side, first, last))


def of_question(question: Question, typed: Typed) -> Curve | NoBlend:
    """The curve of what was typed."""
    question, key = keyed(question, typed)
    return curve_of(question, key.limit, Span(key.low, key.high, key.low_named, key.high_named))


def keyed(question: Question, typed: Typed) -> tuple[Question, CurveKey]:
    """What was typed for a question, and the question in which the limit can move.

    A limit more may need what is not known of some fats: those are out of play then.
    """
    key = read_curve_key(typed, question.goals, question.shelf)
    with_it = with_limit(key.goals, at_figure(key.limit, key.limit.value))
    return question._replace(goals=key.goals, shelf=in_play(with_it, question.shelf)), key


def grid(question: Question, one: Typed, other: Typed) -> CurveGrid | NoBlend:
    """What two limits cost together."""
    from optimiser.answers.tradeoff_grid import grid_of

    question, first = keyed(question, one)
    question, second = keyed(question, other)
    return grid_of(question, (first, second))
