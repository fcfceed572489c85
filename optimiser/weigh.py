"""A recipe somebody has in hand: read, completed where it leaves the arithmetic to us, judged, and held against goals."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

from optimiser import chemistry
from optimiser.additives import find as find_additive
from optimiser.advising import on_time, own_scales
from optimiser.cautions import cautions, is_unfit
from optimiser.fats import Fat, reference
from optimiser.goals import GoalSheet, Limit, currency_faults, read_goals
from optimiser.judging import Verdict, holds, reached, verdicts
from optimiser.lines import measure_lines
from optimiser.recipe import Judgement, Prices, Recipe, fat_demand, judge, total_water
from optimiser.recipe_file import RecipeSheet, read_recipe
from optimiser.shelf import Shelf, check_shelf, nearest_shelf, read_shelf
from optimiser.steps import steps
from optimiser.story import CostFigures, GoalLine, PreferenceLine, WeighedRecipe
from optimiser.text.diagnostics import BadInput, Together

DEFAULT_LYE = 33.0  # %, where a recipe gives no water


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


def complete(sheet: RecipeSheet, shelf: Shelf | None) -> Recipe:
    """The recipe in grams, with the alkali and water worked out where the file leaves them open."""
    fats = tuple((fat_named(item.name, shelf), item.grams) for item in sheet.fats)
    additives = tuple(
        (known, item.grams) for item in sheet.additives if (known := find_additive(item.name)) is not None
    )
    given = {item.name: item.grams for item in sheet.alkali}
    purities = {name: stocked.purity for name, stocked in shelf.alkalis.items()} if shelf is not None else {}
    sodium_purity, potassium_purity = purities.get("sodium hydroxide", 1.0), purities.get("potassium hydroxide", 1.0)
    bare = Recipe(
        fats=fats,
        sodium_hydroxide=given.get("sodium hydroxide", 0.0),
        potassium_hydroxide=given.get("potassium hydroxide", 0.0),
        water=sheet.water_g or 0.0,
        additives=additives,
        sodium_purity=sodium_purity,
        potassium_purity=potassium_purity,
        batter_temperature=sheet.batter_temperature,
        gel=sheet.gel,
        cured_water=sheet.cured_water,
    )
    charged = bare if given else with_alkali(bare, sheet)
    return charged if sheet.water_g is not None else with_water(charged, sheet)


def with_alkali(recipe: Recipe, sheet: RecipeSheet) -> Recipe:
    """The alkali for the superfat that the file asks for."""
    acid = sum(item.alkali_mol_per_kg * grams / 1000.0 for item, grams in recipe.additives)
    need = chemistry.alkali_needed(
        fat_demand(recipe, "value"),
        superfat=(sheet.superfat or 0.0) / 100.0,
        potassium_share=sheet.potassium_share / 100.0,
        acid_mol=acid,
    )
    return replace(
        recipe,
        sodium_hydroxide=down(chemistry.weighed(need.sodium_hydroxide, recipe.sodium_purity)),
        potassium_hydroxide=down(chemistry.weighed(need.potassium_hydroxide, recipe.potassium_purity)),
    )


def down(grams: float) -> float:
    """Grams of alkali to the hundredth, never up."""
    return math.floor(100.0 * grams + 1e-6) / 100.0


def with_water(recipe: Recipe, sheet: RecipeSheet) -> Recipe:
    """The water for the lye concentration that the file asks for, less what comes along with the rest."""
    share = (DEFAULT_LYE if sheet.lye_concentration is None else sheet.lye_concentration) / 100.0
    pure = recipe.sodium_hydroxide * recipe.sodium_purity + recipe.potassium_hydroxide * recipe.potassium_purity
    return replace(recipe, water=max(0.0, round(pure * (1.0 - share) / share - total_water(recipe), 1)))


def fat_named(name: str, shelf: Shelf | None) -> Fat:
    """A fat as the shelf has it (its certificate, its own name), or else as the reference table does."""
    if shelf is not None:
        for item in shelf.fats:
            if item.fat.name == name:
                return item.fat
    return reference().get(name)


def prices_for(recipe: Recipe, shelf: Shelf | None) -> Prices | None:
    """The shelf's prices, if it has one for every fat of the recipe."""
    if shelf is None:
        return None
    prices = {item.fat.name: item.price for item in shelf.fats}
    if any(fat.name not in prices for fat, _ in recipe.fats):
        return None
    alkali = {name: item.price for name, item in shelf.alkalis.items()}
    return Prices(
        currency=shelf.currency,
        fats=prices,
        sodium_hydroxide=alkali.get("sodium hydroxide", 0.0),
        potassium_hydroxide=alkali.get("potassium hydroxide", 0.0),
        additives={name: item.price for name, item in shelf.additives.items()},
    )


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
