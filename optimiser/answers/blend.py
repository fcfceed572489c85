"""Runs the steps in order, from two files to the whole story."""

from __future__ import annotations

from dataclasses import dataclass, field
from pathlib import Path
from types import MappingProxyType
from typing import TYPE_CHECKING

from optimiser.answers.asked import begin, read_question
from optimiser.answers.blend_result import tell
from optimiser.answers.results import Blend, Feasible, NoBlend
from optimiser.answers.rules_in_the_way import in_the_way
from optimiser.model.programme import Programme
from optimiser.problem.goals import GoalSheet, over, told_in
from optimiser.problem.known_ranges import known_of
from optimiser.problem.limits import NOWHERE
from optimiser.problem.lots import in_date
from optimiser.problem.new_tins import with_new_tins
from optimiser.problem.question import Question, Scales
from optimiser.problem.recipe import RecipeSheet
from optimiser.problem.shelf import Shelf
from optimiser.problem.units import Units
from optimiser.problem.untold import in_play
from optimiser.problem.wishes import Section
from optimiser.recipe.rounding import may_be_coarse
from optimiser.solve.nearest import changed_in, least_moved
from optimiser.solve.optimum import Cheapest, least_ratio, with_choice_fixed
from optimiser.solve.outcomes import SolverFault, Work
from optimiser.solve.progress import about
from optimiser.solve.proof import OptimalityProof, cheapest_possible
from optimiser.solve.solver import Live
from optimiser.solve.tie_break import settle_ties
from optimiser.solve.yielding import Asked, any_blend, cheapest

if TYPE_CHECKING:
    from optimiser.solve.least_cash import CashProof

NONE: Scales = MappingProxyType({})
PROVED = 1e-7  # relative gap above which a warm answer is solved again from cold


@dataclass(frozen=True)
class Answered:
    """An answer, and what it was worked out by.

    `programme`: the goals over the shelf; with the preferences held as far as they are met where there is a blend.
    `ratio`: the least cost per kilo of cured bar; None where there is no blend.
    """

    story: Blend | NoBlend
    programme: Programme = field(repr=False)
    ratio: float | None = None


def answer(
    goal_file: Path,
    shelf_file: Path | None = None,
    near: Path | None = None,
    *,
    units: Units | None = None,
    on: str = "",
) -> Blend | NoBlend:
    """The cheapest blend that meets a goal file (the nearest, where a recipe in hand is named), or why there is none.

    Args:
        goal_file: the maker's YAML.
        shelf_file: used in place of the file's own shelf.
        near: a recipe in hand that the blend is to be near to, in place of the one that the file names.
        units: what weights are told in, in place of what the shelf says.
        on: the day by which lots are in date (ISO 8601), in place of the one that the file tells; today where neither does.

    Raises:
        BadInput: with every fault of the files.
        SolverFault: the solver failed; no fault of the files.

    >>> from pathlib import Path
    >>> import optimiser
    >>> found = optimiser.blend(Path("goals/budget.yaml"))
    >>> found.title, round(sum(line.share for line in found.fats))
    ('Budget production bar', 100)
    """
    return answered(read_question(goal_file, shelf_file, near, units=units, on=on)).story


def answer_for(
    sheet: GoalSheet, shelf: Shelf, scales: Scales = NONE, near: RecipeSheet | None = None
) -> Blend | NoBlend:
    """The cheapest blend for goals and a shelf as values, whoever made them, or why there is none.

    Args:
        sheet: what is asked, read from a file or made by `goals_of`.
        shelf: what there is, read from a file or made by `shelf_of`.
        scales: those of the maker's own bench, for how long a batch is likely to take.
        near: a recipe in hand that the blend is to be near to, read from a file or made by `asking_near.recipe_of`.

    Raises:
        BadInput: the balance of the batch is too coarse for its alkali, or a fat is asked for of which too little is known.
        ValueError: a wish is told from a recipe in hand, and there is none.
        SolverFault: the solver failed.

    >>> from optimiser import at_least, blend_for, goals_of, shelf_of
    >>> shelf = shelf_of({"olive oil": 7.4, "coconut oil": 3.1}, sodium_hydroxide=2.4)
    >>> found = blend_for(goals_of(at_least("olive oil", 80), practice=False), shelf)
    >>> [(line.fat, round(line.share)) for line in found.fats]
    [('olive oil', 80), ('coconut oil', 20)]
    """
    if near is not None:
        sheet = begin(near, shelf, sheet, NOWHERE)
    elif any(limit.relative for limit in (*sheet.goals, *sheet.shares, *sheet.additives, *sheet.liquids)):
        raise ValueError("a wish is told from a recipe in hand, and there is none: give near=recipe_of(...)")
    sheet = told_in(known_of(over(sheet, shelf)), shelf.units)
    shelf = in_date(sheet, shelf, sheet.made).shelf  # nothing is past its day where no day is told
    shelf = with_new_tins(shelf, sheet.buying)
    return answered(Question(sheet, in_play(sheet, shelf), scales)).story


def answered(question: Question) -> Answered:
    """The same with the programme that the answer was worked out by."""
    asked = cheapest(question.goals, question.shelf)
    cash = None
    if question.goals.buying is not None and asked.found is not None:
        asked, cash = paid(asked, question.goals, question.shelf)
    sheet, programme, live, found = asked[:4]
    question = question._replace(goals=sheet)
    if found is None:
        live.ray()  # what the spread of lots has to do with it becomes a row of the programme
        return Answered(why_not(question, programme), live.programme)
    held = live.programme
    found, certificate = proved(live, found)
    nearest = None if sheet.near is None else least_moved(asked.before[0] if asked.before is not None else live)
    if asked.before is not None and nearest is not None and sheet.near is not None:
        nearest = nearest._replace(fats=changed_in(sheet.near, programme.columns, asked.before[1].point))
    if asked.before is not None and nearest is None:
        certificate = as_proof_of(proved(*asked.before)[1], found)
    certificate = certificate._replace(is_lean=bool(sheet.most_that_helps), is_bought=sheet.buying is not None)
    hindered = None if sheet.near is None else in_the_way(asked, question.shelf)
    if hindered is not None and sheet.near is not None:
        with_note = sheet.near._replace(notes=(*sheet.near.notes, hindered.said))
        question = question._replace(goals=sheet._replace(near=with_note))
    with about(lambda: "working out what each line costs"):
        story = tell(question, live, settled(live, found), certificate, nearest)
    if story.buying is not None:
        story = story._replace(buying=story.buying._replace(proof=cash))
    return Answered(story, held, found.ratio)


def paid(asked: Asked, goals: GoalSheet, shelf: Shelf) -> tuple[Asked, CashProof | None]:
    """Where the least cash is asked for: what is bought, settled, and the cheapest blend to make of it; else what was asked.

    Args:
        asked: the cheapest blend to make, whatever has to be bought for it.
        goals: as they were read.
        shelf: what there is.
    """
    if goals.buying is None or goals.buying.is_cheapest_to_make or asked.found is None:
        return asked, None
    from optimiser.solve.least_cash import least_cash

    with about(lambda: "looking for the least cash"):
        purchase = least_cash(asked.sheet, shelf, asked.found, Work())
    again = cheapest(goals._replace(buying=goals.buying._replace(taken=purchase.taken)), shelf)
    if again.found is None:
        raise SolverFault("a blend could be bought, and the solver loses it when what is bought is held")
    return again, purchase.proof


def proved(live: Live, found: Cheapest) -> tuple[Cheapest, OptimalityProof]:
    """A blend with what no blend can be cheaper than, asked again from cold where a warm answer leaves a gap."""
    certificate = prove(live, found)
    if certificate.exact and certificate.gap > PROVED:
        live.forget()
        again = least_ratio(live)
        found = again._replace(short=found.short) if again is not None else found
        certificate = prove(live, found)
    return found, certificate


def as_proof_of(certificate: OptimalityProof, found: Cheapest) -> OptimalityProof:
    """What is proved of all blends, beside one without pinches that is a little dearer than the cheapest."""
    gap = max(0.0, found.ratio - certificate.cheapest_possible_per_kg) / found.ratio if found.ratio else 0.0
    return certificate._replace(gap=gap)


def settled(live: Live, found: Cheapest) -> Cheapest:
    """The one blend to show of those that cost the least."""
    linear = with_choice_fixed(live, found)
    again = None if linear is live else least_ratio(linear)
    chosen = found if again is None else again._replace(short=found.short, is_limited=found.is_limited)
    return settle_ties(linear, chosen)


def prove(live: Live, found: Cheapest) -> OptimalityProof:
    """What no blend can be cheaper than: exactly, or by the solver's bound where fats are counted."""
    programme = live.programme
    if programme.is_mixed_integer:
        least_cured = float(programme.cured[: programme.columns.count].min())
        outcome = found.outcome
        cheapest = found.ratio + min(0.0, outcome.bound) / least_cured
        exact = False
    else:
        cheapest = cheapest_possible(programme, found.ratio, found.outcome.row_dual)
        exact = True
    gap = max(0.0, found.ratio - cheapest) / found.ratio if found.ratio else 0.0
    return OptimalityProof(cheapest, gap, exact, preferences=maker_preferences(programme), is_limited=found.is_limited)


def maker_preferences(programme: Programme) -> int:
    """How many preferences the maker has, what is to be used up among them; what keeps a blend near to a recipe is none."""
    sections = (programme.rows[one.rows[0]].wish.section for one in programme.soft)
    return sum(section in (Section.PREFER, Section.USE_UP) for section in sections)


def feasibility(
    goal_file: Path, shelf_file: Path | None = None, near: Path | None = None, *, on: str = ""
) -> Feasible | NoBlend:
    """That some blend meets the goals, or why none does; `on` is the day by which lots are in date, as for `answer`.

    Raises:
        BadInput: with every fault of the files, or a balance too coarse for the blend that `answer` would give.
        SolverFault: the solver failed; no fault of the files.
    """
    question = read_question(goal_file, shelf_file, near, on=on)
    sheet, programme, outcome = any_blend(question.goals, question.shelf)
    if not outcome.feasible:
        return why_not(question._replace(goals=sheet), programme)
    # only the blend itself tells whether it can be weighed, or how far rules give way to it
    if not (sheet.eased or may_be_coarse(programme.columns, outcome.point)):
        return Feasible(question.warnings)
    story = answered(question).story
    far = () if isinstance(story, NoBlend) else story.far_off
    return Feasible(question.warnings, far, question.shelf.currency)


def why_not(question: Question, programme: Programme) -> NoBlend:
    """Why there is no blend; the rooms that find out are loaded only when there is none."""
    from optimiser.answers.no_blend import explain

    return explain(question.goals, question.shelf, programme)._replace(warnings=question.warnings)
