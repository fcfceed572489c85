"""A whole question read at once: goals or a recipe, the shelf and the maker's own scales, with every fault of all of them."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from optimiser.files.doubts import warnings
from optimiser.files.goals import read_goals
from optimiser.files.lots_in_date import on_its_day, past_in_recipe
from optimiser.files.recipe_file import read_recipe
from optimiser.files.scales_near import scales_near
from optimiser.files.shelf.shelf import check_shelf, read_shelf
from optimiser.files.use_up import use_up_faults
from optimiser.files.workspace import nearest_shelf
from optimiser.materials.additives import find as find_additive
from optimiser.materials.fat_table import reference
from optimiser.materials.liquids import find_liquid
from optimiser.measures.sides import SubjectKind
from optimiser.problem.goals import GoalSheet, over, told_in
from optimiser.problem.known_ranges import known_of
from optimiser.problem.limits import NOWHERE
from optimiser.problem.new_tins import with_new_tins
from optimiser.problem.question import InHand, Question
from optimiser.problem.recipe import RecipeSheet
from optimiser.problem.shelf import Shelf
from optimiser.problem.units import Units, units_of_scale
from optimiser.problem.untold import in_play
from optimiser.text.codes import Code
from optimiser.text.diagnostics import BadInput, Diagnostic, Together
from optimiser.text.quantities import same_currency
from optimiser.text.spans import Span

Begin = Callable[[RecipeSheet, Shelf, GoalSheet, Span], GoalSheet]
"""What makes goals that begin from a recipe in hand of those that were read: the rooms that reckon know how."""


def read_question(
    goal_file: Path,
    shelf_file: Path | None = None,
    near_file: Path | None = None,
    begin: Begin | None = None,
    *,
    units: Units | None = None,
    on: str = "",
) -> Question:
    """A goal file, the shelf that it is to be met from, and the scales of the maker's bench.

    Args:
        goal_file: the maker's YAML.
        shelf_file: used in place of the file's own shelf.
        near_file: a recipe in hand, in place of the one that the file names.
        begin: makes goals that begin from such a recipe.
        units: what weights are told in, in place of what the shelf says.
        on: the day by which lots are in date (ISO 8601), in place of the one that the file tells; today where neither does.

    Raises:
        BadInput: with every fault of the files.
        ValueError: there is a recipe in hand, and nothing that begins from it.
    """
    goal_file = Path(goal_file)  # a text will do for whoever calls from Python
    shelf_file = None if shelf_file is None else Path(shelf_file)
    near_file = None if near_file is None else Path(near_file)
    faults = Together()
    goals = shelf = recipe = None
    bench = scales_near(goal_file)
    with faults:
        goals = read_goals(goal_file, shelf_file, bench, near_file)
    with faults:
        if goals is None:
            check_shelf(goal_file, shelf_file, "goals")
        else:
            named_at = None if shelf_file is not None else goals.shelf_span
            by_recipe = shelf_of_recipe(goals) if shelf_file is None and goals.shelf is None else None
            shelf = read_shelf(shelf_file or goals.shelf or by_recipe or nearest_shelf(goal_file), named_at)
    with faults:
        recipe = recipe_in_hand(goals, shelf, near_file)
    faults.found.extend(bench.faults)
    faults.settle()
    assert goals is not None  # or there were faults
    assert shelf is not None
    goals = begun(goals, shelf, recipe, begin)
    goals = known_of(over(goals, shelf))
    goals = told_in(goals, shelf.units) if units is None else goals._replace(batch=goals.batch._replace(units=units))
    if later := (*currency_faults(goals, shelf), *lever_faults(goals, shelf), *use_up_faults(goals, shelf)):
        raise BadInput(later)
    goals, dated, of_lots = on_its_day(goals, shelf, on)
    odd = (*warnings(shelf, goals=goals), *of_lots)
    dated = with_new_tins(dated, goals.buying)
    return Question(goals, in_play(goals, dated), bench.by_measure, odd)


def begun(goals: GoalSheet, shelf: Shelf, recipe: RecipeSheet | None, begin: Begin | None) -> GoalSheet:
    """The goals as they begin from a recipe in hand, if they do.

    Raises:
        ValueError: they do, and there is nothing that begins from it.
    """
    if recipe is None:
        return goals
    if begin is None:
        raise ValueError("a goal file that is near to a recipe is read by optimiser.answers.asked")
    return begin(recipe, shelf, goals, goals.recipe_span or NOWHERE)


def shelf_of_recipe(goals: GoalSheet) -> Path | None:
    """The shelf that the recipe in hand names; None where there is no recipe, it names none, or it cannot be read, told later."""
    try:
        return None if goals.recipe is None else read_recipe(goals.recipe).shelf
    except BadInput:
        return None


def recipe_in_hand(goals: GoalSheet | None, shelf: Shelf | None, near_file: Path | None) -> RecipeSheet | None:
    """The recipe that goals are to stay near to; None where there is none. Own fats are looked up on the shelf of the goals.

    Raises:
        BadInput: with every fault of it, each told where the goal file names it too.
    """
    path = near_file if goals is None else goals.recipe
    if path is None:
        return None
    span = None if goals is None else goals.recipe_span
    try:
        return read_recipe(path, Path(shelf.path) if shelf is not None and shelf.path else None)
    except BadInput as bad:
        note = (("the goal file names this recipe here", span),) if span is not None else ()
        raise BadInput(
            item._replace(span=span) if item.span is None else item._replace(notes=(*item.notes, *note))
            for item in bad.diagnostics
        ) from None


def read_in_hand(
    recipe_file: Path,
    shelf_file: Path | None = None,
    goal_file: Path | None = None,
    begin: Begin | None = None,
    *,
    units: Units | None = None,
    on: str | None = None,
) -> InHand:
    """A recipe, the goals that it is held against, the shelf that brings prices, and the scales of the maker's bench.

    Args:
        recipe_file: the recipe.
        shelf_file: used in place of what the files name.
        goal_file: what the recipe is held against, if anything.
        begin: makes goals that begin from a recipe in hand of their own.
        units: what weights are told in, in place of what the shelf says.
        on: the day on which its lots are to be in date (ISO 8601), "" for today; None where no day is asked after.

    Raises:
        BadInput: with every fault of the files.
    """
    recipe_file = Path(recipe_file)
    shelf_file, goal_file = (None if path is None else Path(path) for path in (shelf_file, goal_file))
    faults = Together()
    recipe = goals = shelf = None
    bench = scales_near(recipe_file)
    with faults:
        recipe = read_recipe(recipe_file, shelf_file)
    with faults:
        goals = read_goals(goal_file, shelf_file) if goal_file is not None else None
    with faults:
        if recipe is None:
            check_shelf(recipe_file, shelf_file, "recipe")
        elif goals is not None and goals.recipe is not None and goal_file is not None:
            shelf = shelf_for(recipe, goals, shelf_file) or read_shelf(nearest_shelf(goal_file))
        else:
            shelf = shelf_for(recipe, goals, shelf_file)
    if faults.found:
        faults.found.extend(bench.faults)
    near = None
    with faults:
        near = recipe_in_hand(goals, shelf, None)
    faults.settle()
    assert recipe is not None  # or there were faults
    if goals is not None and shelf is not None:
        goals = begun(goals, shelf, near, begin)
    if goals is not None and shelf is not None and (later := currency_faults(goals, shelf)):
        raise BadInput(later)
    if goals is not None and shelf is not None:
        goals = over(goals, shelf)
    goals = None if goals is None else known_of(goals)
    odd = warnings(shelf, goals=goals, recipe=recipe)
    odd = odd if on is None else (*odd, *past_in_recipe(recipe, shelf, on))
    told = Units.GRAMS if shelf is None else shelf.units
    if told == Units.GRAMS:
        scale_g = recipe.scale_g if recipe.to_make is None else recipe.to_make.scale_g
        told = units_of_scale(recipe.scale_g or scale_g)
    recipe = recipe._replace(units=units or told)
    return InHand(recipe, goals, shelf, bench.by_measure, bench.faults, odd)


def shelf_for(recipe: RecipeSheet, goals: GoalSheet | None = None, given: Path | None = None) -> Shelf | None:
    """The shelf given, or else named by the recipe, or else by the goals, or the nearest where a fat is the maker's own.

    None where nobody names one and none is needed.

    Raises:
        BadInput: with every fault of the shelf, or there is none where one is needed.
    """
    if given is not None:
        return read_shelf(given)
    for named in (recipe, goals):
        if named is not None and named.shelf is not None:
            return read_shelf(named.shelf, named.shelf_span)
    own_fat = any(reference().find(item.name) is None for item in recipe.fats)
    if own_fat or any(not (find_additive(item.name) or find_liquid(item.name)) for item in recipe.extras):
        return read_shelf(nearest_shelf(Path(recipe.path)))
    return None


def currency_faults(sheet: GoalSheet, shelf: Shelf) -> tuple[Diagnostic, ...]:
    """Costs asked for in another currency than the shelf's prices are in."""
    every = (*sheet.goals, *(limit for wishes in sheet.prefer for limit in wishes))
    return tuple(
        Diagnostic(
            Code.OTHER_CURRENCY,
            f"the cost is in {limit.currency}, and the shelf's prices are in {shelf.currency}",
            f"write it in {shelf.currency}, without the currency's name if you like",
            limit.span,
        )
        for limit in every
        if not same_currency(limit.currency, shelf.currency)
    )


def lever_faults(sheet: GoalSheet, shelf: Shelf) -> tuple[Diagnostic, ...]:
    """What may be used and is not on the shelf: without a price nobody can say whether it pays."""
    fats = {name for item in shelf.fats for name in (item.fat.known_as, item.fat.name)}
    return tuple(
        Diagnostic(
            Code.NOT_ON_THE_SHELF,
            f"'{item.name}' may be used, and it is not on the shelf {shelf.path}",
            f"put it there under '{'fats' if item.subject == 'fat' else 'additives'}' with its price, or take it out here",
            item.span,
        )
        for item in sheet.may_use
        if item.name not in (fats if item.subject == SubjectKind.FAT else shelf.additives)
    )
