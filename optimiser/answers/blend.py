"""Runs the steps in order, from two files to the whole story."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from optimiser.answers.advice import own_scales
from optimiser.answers.blend_result import tell
from optimiser.answers.results import Blend, Feasible, NoBlend
from optimiser.files.doubts import warnings
from optimiser.files.goals import currency_faults, lever_faults, read_goals
from optimiser.files.shelf.shelf import check_shelf, read_shelf
from optimiser.files.workspace import nearest_shelf
from optimiser.model.programme import Programme, build
from optimiser.problem.goals import GoalSheet
from optimiser.problem.shelf import Shelf
from optimiser.recipe.rounding import may_be_coarse
from optimiser.solve.optimum import Cheapest, least_ratio, solve, with_choice_fixed
from optimiser.solve.progress import about
from optimiser.solve.proof import Certificate, cheapest_possible
from optimiser.solve.solver import Live
from optimiser.solve.tie_break import settle_ties
from optimiser.text.diagnostics import BadInput, Together

PROVED = 1e-7  # relative gap above which a warm answer is solved again from cold


def answer(goal_file: Path, shelf_file: Path | None = None) -> Blend | NoBlend:
    """The cheapest blend that meets a goal file, or why there is none.

    Args:
        goal_file: the maker's YAML.
        shelf_file: used in place of the file's own shelf.

    Raises:
        BadInput: with every fault of the files.
        SolverFault: the solver failed; no fault of the files.
    """
    sheet, shelf = read(goal_file, shelf_file)
    return replace(answer_for(sheet, shelf), warnings=warnings(shelf, goals=sheet))


def read(goal_file: Path, shelf_file: Path | None = None) -> tuple[GoalSheet, Shelf]:
    """A goal file and the shelf it is to be met from.

    Raises:
        BadInput: with every fault of the files.
    """
    faults = Together()
    sheet = shelf = None
    with faults:
        sheet = read_goals(goal_file, shelf_file)
    with faults:
        if sheet is None:
            check_shelf(goal_file, shelf_file, "goals")
        else:
            named_at = None if shelf_file is not None else sheet.shelf_span
            shelf = read_shelf(shelf_file or sheet.shelf or nearest_shelf(goal_file), named_at)
    with faults:
        own_scales(goal_file)
    faults.settle()
    assert sheet is not None  # or there were faults
    assert shelf is not None
    if later := (*currency_faults(sheet, shelf), *lever_faults(sheet, shelf)):
        raise BadInput(later)
    return sheet, shelf


def answer_for(sheet: GoalSheet, shelf: Shelf) -> Blend | NoBlend:
    """The same for goals and a shelf already read."""
    programme = build(sheet, shelf)
    live, found = solve(programme)
    if found is None:
        return why_not(sheet, shelf, programme)
    certificate = prove(live, found)
    if certificate.exact and certificate.gap > PROVED:
        live.forget()
        again = least_ratio(live)
        found = replace(again, short=found.short) if again is not None else found
        certificate = prove(live, found)
    with about(lambda: "working out what each line costs"):
        return tell(sheet, shelf, live, settled(live, found), certificate)


def settled(live: Live, found: Cheapest) -> Cheapest:
    """The one blend to show of those that cost the least."""
    linear = with_choice_fixed(live, found)
    again = None if linear is live else least_ratio(linear)
    chosen = found if again is None else replace(again, short=found.short, is_limited=found.is_limited)
    return settle_ties(linear, chosen)


def prove(live: Live, found: Cheapest) -> Certificate:
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
    return Certificate(cheapest, gap, exact, preferences=len(found.short), is_limited=found.is_limited)


def feasibility(goal_file: Path, shelf_file: Path | None = None) -> Feasible | NoBlend:
    """That some blend meets the goals, or why none does.

    Raises:
        BadInput: with every fault of the files, or a balance too coarse for the blend that `answer` would give.
        SolverFault: the solver failed; no fault of the files.
    """
    sheet, shelf = read(goal_file, shelf_file)
    programme = build(sheet, shelf)
    outcome = Live(programme).minimise()
    if not outcome.feasible:
        return replace(why_not(sheet, shelf, programme), warnings=warnings(shelf, goals=sheet))
    if may_be_coarse(programme.columns, outcome.point):  # then only the blend itself tells whether it can be weighed
        answer_for(sheet, shelf)
    return Feasible(warnings(shelf, goals=sheet))


def why_not(sheet: GoalSheet, shelf: Shelf, programme: Programme) -> NoBlend:
    """Why there is no blend; the rooms that find out are loaded only when there is none."""
    from optimiser.answers.no_blend import explain

    return explain(sheet, shelf, programme)
