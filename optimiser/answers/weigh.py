"""A recipe somebody has in hand: read, completed where it leaves the arithmetic to us, judged, and held against goals."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from optimiser.answers.advice import on_time, own_scales
from optimiser.answers.measure_lines import measure_lines
from optimiser.answers.results import CostFigures, GoalLine, PreferenceLine, WeighedRecipe
from optimiser.files.doubts import warnings
from optimiser.files.goals import currency_faults, read_goals
from optimiser.files.recipe_file import read_recipe
from optimiser.files.shelf.shelf import check_shelf, read_shelf
from optimiser.files.workspace import nearest_shelf
from optimiser.materials.fat_table import reference
from optimiser.problem.goals import GoalSheet
from optimiser.problem.limits import Limit
from optimiser.problem.recipe import RecipeSheet
from optimiser.problem.shelf import Shelf
from optimiser.recipe.cautions import cautions, is_unfit
from optimiser.recipe.completion import DEFAULT_LYE, complete, prices_for
from optimiser.recipe.compliance import Verdict, holds, reached, verdicts
from optimiser.recipe.evaluation import Judgement, Prices, Recipe, judge
from optimiser.recipe.making_steps import steps
from optimiser.text.diagnostics import BadInput, Together


def weigh(recipe_file: Path, *, shelf_file: Path | None = None, goal_file: Path | None = None) -> WeighedRecipe:
    """Judge a recipe file, against a goal file if there is one.

    The shelf (given, or named by the recipe, or by the goals) brings prices, purities and certificates; without one
    the reference table serves and alkalis are taken as pure, which can only lead to less alkali in the pot.

    Raises:
        BadInput: with every fault of the files.
    """
    sheet, goals, shelf = read(recipe_file, shelf_file, goal_file)
    recipe = complete(sheet, shelf)
    money = prices_for(recipe, shelf)
    judged = judge(recipe, money)
    found = verdicts(goals, recipe, judged) if goals is not None else []
    times = () if is_unfit(judged) else on_time(recipe_file, recipe, judged)
    currency = shelf.currency if shelf is not None else ""
    return WeighedRecipe(
        title=sheet.title,
        currency=currency,
        recipe_file=str(recipe_file),
        recipe=recipe,
        judgement=judged,
        measures=measure_lines(judged.values, ()),
        cost=cost_of(judged, sheet) if money is not None else None,
        goals=tuple(goal_line(item, currency) for item in found),
        preferences=tuple(preference_lines(goals, recipe, judged, currency)) if goals is not None else (),
        meets_goals=all(item.holds for item in found) if goals is not None else None,
        cautions=cautions(recipe, judged),
        notes=tuple(notes(sheet, shelf, recipe, money)),
        times=times,
        is_unfit=is_unfit(judged),
        steps=steps(recipe, judged, goals.techniques if goals is not None else (), times),
        warnings=warnings(shelf, goals=goals, recipe=sheet),
    )


def read(
    recipe_file: Path, shelf_file: Path | None, goal_file: Path | None
) -> tuple[RecipeSheet, GoalSheet | None, Shelf | None]:
    """A recipe, the goals that it is held against, and the shelf that brings prices.

    Raises:
        BadInput: with every fault of the files.
    """
    faults = Together()
    sheet = goals = shelf = None
    with faults:
        sheet = read_recipe(recipe_file, shelf_file)
    with faults:
        goals = read_goals(goal_file, shelf_file) if goal_file is not None else None
    with faults:
        if sheet is None:
            check_shelf(recipe_file, shelf_file, "recipe")
        else:
            shelf = shelf_for(sheet, goals, shelf_file)
    if faults.found:
        with faults:
            own_scales(recipe_file)
    faults.settle()
    assert sheet is not None  # or there were faults
    if goals is not None and shelf is not None and (later := currency_faults(goals, shelf)):
        raise BadInput(later)
    return sheet, goals, shelf


def shelf_for(sheet: RecipeSheet, goals: GoalSheet | None, given: Path | None) -> Shelf | None:
    """The shelf given, or else named by the recipe, or else by the goals, or the nearest where a fat is the maker's own.

    None where nobody names one and none is needed.
    """
    if given is not None:
        return read_shelf(given)
    for named in (sheet, goals):
        if named is not None and named.shelf is not None:
            return read_shelf(named.shelf, named.shelf_span)
    if any(reference().find(item.name) is None for item in sheet.fats):
        return read_shelf(nearest_shelf(Path(sheet.path)))
    return None


def cost_of(judged: Judgement, sheet: RecipeSheet) -> CostFigures:
    """What the batch costs, by the kilo and the bar."""
    per_kg = judged.cost_per_kg or 0.0
    bars = sheet.bars or judged.cured_grams / 1000.0 / sheet.cured_weight_kg
    bar_kg = judged.cured_grams / 1000.0 / bars
    return CostFigures(per_kg, per_kg * bar_kg, judged.money or 0.0, 1000.0 * bar_kg, bars, judged.cured_grams)


def unit_of(limit: Limit, currency: str) -> str:
    """The unit of a limit's figure, money in the currency of the shelf."""
    return f"{currency} / {limit.per or 'kg'}" if limit.key == "cost" else limit.unit


def goal_line(item: Verdict, currency: str) -> GoalLine:
    """A verdict as a line of the answer."""
    limit = item.limit
    return GoalLine(
        id=item.id,
        origin=item.origin,
        says=limit.said,
        line=limit.span.line or None,
        span=limit.span if limit.span.line else None,
        value=item.value,
        limit=limit.value,
        unit=unit_of(limit, currency),
        side=limit.side,
        binding=False,
        price_per_unit=None,
        saves_if_dropped=None,
        why=item.why,
        figure=limit.key,
        holds_when_weighed=item.holds,
    )


def preference_lines(goals: GoalSheet, recipe: Recipe, judged: Judgement, currency: str) -> Sequence[PreferenceLine]:
    """Preferences, met or by how much the recipe falls short."""
    out = []
    for place, wishes in enumerate(goals.prefer):
        for limit in wishes:
            if limit.key == "cost" and judged.cost_per_kg is None:
                continue
            value = reached(limit, recipe, judged, goals.batch.cured_weight_kg)
            met = holds(limit, value)
            name = f"prefer.{place}.{limit.key}.{limit.side}"
            short = 0.0 if met else abs(value - limit.value)
            unit = unit_of(limit, currency)
            out.append(PreferenceLine(name, limit.said, limit.span.line, met, value, limit.value, unit, short))
    return out


def notes(sheet: RecipeSheet, shelf: Shelf | None, recipe: Recipe, money: Prices | None) -> Sequence[str]:
    """What was taken for granted."""
    out = []
    if not sheet.alkali:
        out.append(f"Alkali worked out for a superfat of {sheet.superfat or 0.0:g} %, as the recipe asks.")
    if sheet.water_g is None:
        share = DEFAULT_LYE if sheet.lye_concentration is None else sheet.lye_concentration
        out.append(f"Water worked out for a lye of {share:g} %.")
    if shelf is None:
        out.append("No shelf given: alkali taken as pure, saponification values from the reference table, no cost.")
    elif money is None:
        missing = [fat.name for fat, _ in recipe.fats if all(item.fat.name != fat.name for item in shelf.fats)]
        out.append(f"No cost: not on the shelf: {', '.join(missing)}.")
    return out
