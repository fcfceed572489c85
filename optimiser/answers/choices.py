"""`choices`: a few blends that meet every goal and are nearly as cheap as the cheapest, as different as can be."""

from __future__ import annotations

from pathlib import Path
from typing import NamedTuple

from optimiser.answers.asked import read_question
from optimiser.answers.blend import NONE, proved, settled, why_not
from optimiser.answers.blend_result import reckoned
from optimiser.answers.choice_results import Choice, Choices
from optimiser.answers.choice_words import phrases
from optimiser.answers.results import Blend, NoBlend
from optimiser.files.within import read_within
from optimiser.model.programme import Programme
from optimiser.model.rows import bar_at
from optimiser.model.swapped import by_group, swapped, within_cost
from optimiser.problem.goals import GoalSheet, near_to, over, told_in
from optimiser.problem.known_ranges import known_of
from optimiser.problem.question import Question, Scales
from optimiser.problem.shelf import Shelf
from optimiser.problem.untold import in_play
from optimiser.problem.within import MOST, Within
from optimiser.recipe.changes import moved
from optimiser.recipe.compliance import verdicts
from optimiser.solve.estimating import readings
from optimiser.solve.farthest import Crumbs
from optimiser.solve.nearest import as_near
from optimiser.solve.optimum import Cheapest
from optimiser.solve.outcomes import Work
from optimiser.solve.spread_out import Spread, as_met, spread_out
from optimiser.solve.yielding import Asked, as_written, cheapest
from optimiser.text.codes import Code
from optimiser.text.diagnostics import BadInput, Diagnostic
from optimiser.text.quantities import same_currency

USUAL_COUNT = 4
FEWEST, MOST_CHOICES = 2, 6


class Made(NamedTuple):
    """A blend of the answer with the goals and the rows that it is judged by."""

    sheet: GoalSheet
    programme: Programme
    found: Cheapest


def choices(
    goal_file: Path, shelf_file: Path | None = None, *, within: str = "5 %", count: int = USUAL_COUNT
) -> Choices | NoBlend:
    """A few blends that meet a goal file, nearly as cheap as the cheapest and as different as can be; or why there is none.

    Args:
        goal_file: the maker's YAML.
        shelf_file: used in place of the file's own shelf.
        within: how much dearer than the cheapest they may be: "5 %", "0.30 / kg".
        count: how many, the cheapest among them.

    Raises:
        BadInput: with every fault of the files, or of what is asked here.
        SolverFault: the solver failed; no fault of the files.

    >>> from pathlib import Path
    >>> found = choices(Path("goals/budget.yaml"), within="5 %", count=3)
    >>> len(found.choices), found.choices[0].says
    (3, 'the cheapest')
    >>> all(one.dearer <= 5.0001 and one.swapped <= 100.0 * found.most.share for one in found.choices)
    True
    """
    return chosen(read_question(goal_file, shelf_file), read_within(within), count)


def choices_for(
    sheet: GoalSheet, shelf: Shelf, scales: Scales = NONE, *, within: str = "5 %", count: int = USUAL_COUNT
) -> Choices | NoBlend:
    """The same for goals and a shelf as values, whoever made them.

    Raises:
        BadInput: what is asked here cannot be, or the batch is too coarse for its balance.
        SolverFault: the solver failed.
    """
    sheet = told_in(known_of(over(sheet, shelf)), shelf.units)
    return chosen(Question(sheet, in_play(sheet, shelf), scales), read_within(within), count)


def chosen(question: Question, within: Within, count: int) -> Choices | NoBlend:
    """The same for a question that has been read.

    Raises:
        BadInput: more blends are asked for than can be told side by side, or fewer than two; another currency; a cost that
            is no longer nearly as cheap.
    """
    refuse(within, count, question.shelf)
    if question.goals.buying is not None:  # "nearly as cheap" is said of what is used
        question = question._replace(goals=question.goals._replace(buying=question.goals.buying.to_make))
    asked = cheapest(question.goals, question.shelf)
    if asked.found is None:
        asked.live.ray()  # what the spread of lots has to do with it becomes a row of the programme
        return why_not(question._replace(goals=asked.sheet), asked.live.programme)
    rows = asked.live.programme
    first = settled(asked.live, proved(asked.live, asked.found)[0])
    ceiling = within.ceiling(first.ratio, bar_at(rows.columns, first.point))
    refuse_dear(within, first.ratio, ceiling)
    free = asked.before[0].programme if asked.before is not None else rows
    if asked.sheet.near is not None:  # the nearest blend of all may be dearer than one with fewer fats changed
        free = as_near(free, first.point)
    sheet = asked.sheet._replace(no_pinch={}, between={})
    free = as_met(free, first.point)
    base = within_cost(free, ceiling)
    spread = spread_out(base, first, count, Crumbs.of(sheet), Work())
    made = [Made(asked.sheet, rows, first), *(Made(sheet, free, one) for one in spread.blends[1:])]
    return told(question, asked, within, ceiling, spread, side_by_side(question, made, spread.gaps(base)), count)


def told(  # noqa: PLR0913, PLR0917  # one argument per part of the answer
    question: Question,
    asked: Asked,
    within: Within,
    ceiling: float,
    spread: Spread,
    found: tuple[Choice, ...],
    count: int,
) -> Choices:
    """The answer as a whole."""
    sheet, shelf = asked.sheet, question.shelf
    most = spread.most
    if len(readings(as_written(question.goals), shelf)) > 1:
        most = most._replace(holds=False)
    return Choices(
        title=sheet.title,
        currency=shelf.currency,
        goal_file=sheet.path,
        shelf_title=shelf.title,
        within=100.0 * (ceiling / spread.blends[0].ratio - 1.0),
        said=within.said,
        ceiling=ceiling,
        choices=found,
        asked=count,
        most=most,
        complete=spread.complete,
        is_counted=asked.live.programme.is_mixed_integer,
        has_preferences=bool(sheet.prefer or sheet.use_up),
        stood_aside=found[0].blend.stood_aside,
        warnings=question.warnings,
        near_to=near_to(sheet),
    )


def side_by_side(question: Question, made: list[Made], gaps: tuple[float, ...]) -> tuple[Choice, ...]:
    """Each blend as it is told beside the first, by cost."""
    first = made[0].found
    groups = by_group(made[0].programme)
    found = [
        Choice(
            blend=reckoned(one.sheet, question.shelf, one.programme, one.found).blend,
            dearer=100.0 * (one.found.ratio / first.ratio - 1.0),
            swapped=100.0 * swapped(groups, one.found.point, first.point),
            apart=100.0 * gap,
            says="",
        )
        for one, gap in zip(made, gaps, strict=True)
    ]
    found[1:] = sorted(found[1:], key=lambda one: (round(one.dearer, 3), -round(one.swapped, 3), one.blend.fats[0].fat))
    near = made[0].sheet.near
    changed = [] if near is None else [moved(near, one.blend.recipe) for one in found]
    says = phrases([one.blend for one in found], [one.dearer for one in found], changed)
    sheets = [made[0].sheet, *(made[-1].sheet for _ in found[1:])]
    return tuple(
        one._replace(says=words, broken=broken_of(sheet, one.blend))
        for one, words, sheet in zip(found, says, sheets, strict=True)
    )


def broken_of(sheet: GoalSheet, blend: Blend) -> tuple[str, ...]:
    """The wishes that no longer hold of the recipe as rounded for the balance, in the maker's words."""
    return tuple(str(item.limit.said) for item in verdicts(sheet, blend.recipe, blend.weighed) if not item.holds)


def refuse(within: Within, count: int, shelf: Shelf) -> None:
    """Refuse what cannot be answered whatever the goals.

    Raises:
        BadInput: how many blends, or the currency.
    """
    if not FEWEST <= count <= MOST_CHOICES:
        message = f"--count {count} is not between {FEWEST} and {MOST_CHOICES}, the cheapest among them"
        raise BadInput([Diagnostic(Code.OUT_OF_RANGE, message, f"write --count {USUAL_COUNT}, or leave it out")])
    if not same_currency(within.currency, shelf.currency):
        message = f"--within: the prices of the shelf are in {shelf.currency}, not in {within.currency}"
        raise BadInput([Diagnostic(Code.WRONG_UNIT, message, "leave the currency out, or write per cent")])


def refuse_dear(within: Within, ratio: float, ceiling: float) -> None:
    """Refuse money that is more than the bar itself costs.

    Raises:
        BadInput: it is.
    """
    if ceiling > ratio * (1.0 + MOST / 100.0):
        message = f"--within: {within.said} dearer is more than the cheapest bar costs ({ratio:.2f} / kg)"
        raise BadInput([Diagnostic(Code.OUT_OF_RANGE, message, "write less, or per cent: --within 5%")])
