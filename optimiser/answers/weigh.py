"""A recipe somebody has in hand: read, completed where it leaves the arithmetic to us, judged, and held against goals."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from pathlib import Path

from optimiser.answers.advice import on_ash_in_hand, on_time, on_water
from optimiser.answers.asked import read_in_hand
from optimiser.answers.measure_lines import measure_lines
from optimiser.answers.results import CostFigures, GoalLine, PreferenceLine, WeighedRecipe
from optimiser.materials.fat import Fat
from optimiser.measures.telling import keeps
from optimiser.problem.goals import GoalSheet
from optimiser.problem.house_rules import gives_way
from optimiser.problem.limits import Limit
from optimiser.problem.lots import by_known_name, unnamed_lots
from optimiser.problem.money import Prices
from optimiser.problem.places import in_file
from optimiser.problem.question import InHand
from optimiser.problem.recipe import RecipeSheet
from optimiser.problem.shelf import Shelf
from optimiser.problem.units import Units
from optimiser.problem.wishes import Section
from optimiser.recipe.batch_size import bar_kg, filled
from optimiser.recipe.cautions import cautions, is_unfit, own_weight
from optimiser.recipe.completion import DEFAULT_LYE, complete, prices_for
from optimiser.recipe.compliance import Verdict, holds, reached, verdicts
from optimiser.recipe.evaluation import Judgement, Recipe, judge
from optimiser.recipe.making_steps import steps
from optimiser.recipe.times import NO_TIMES, short_of_time
from optimiser.recipe.warmth import shorter_when_warm
from optimiser.recipe.weights import rough
from optimiser.text.codes import Code
from optimiser.text.diagnostics import BadInput, Diagnostic

NO_CURE = "How long it is cured is not judged, since the recipe does not say: write cure: 6 weeks, or as it was."


def weigh(
    recipe_file: Path,
    *,
    shelf_file: Path | None = None,
    goal_file: Path | None = None,
    units: Units | None = None,
    on: str = "",
) -> WeighedRecipe:
    """Judge a recipe file, against a goal file if there is one.

    The shelf (given, or named by the recipe, or by the goals) brings prices, purities and certificates; without one
    the reference table serves and alkalis are taken as pure, which can only lead to less alkali in the pot. `units` are what
    weights are told in, in place of what the shelf says. A fat whose lots were all best before the day `on` (ISO 8601, today
    without it) is warned of.

    Raises:
        BadInput: with every fault of the files.

    >>> from pathlib import Path
    >>> import optimiser
    >>> try:
    ...     optimiser.weigh_recipe(Path("goals/budget.yaml"))
    ... except optimiser.BadInput as bad:
    ...     print(bad.diagnostics[0].message)
    this is a goal file, not a recipe
    """
    asked = read_in_hand(recipe_file, shelf_file, goal_file, units=units, on=on)
    return weighed(asked, str(recipe_file))


def weighed(
    asked: InHand, recipe_file: str = "", *, recipe: Recipe | None = None, advise: bool = True
) -> WeighedRecipe:
    """The same for a recipe in hand as a value, whoever made it.

    Args:
        asked: the recipe, and what it is held against.
        recipe_file: where it stands.
        recipe: it made whole, where that was done already.
        advise: work out the advice against ash too, which asks for many bars beside this one.

    Raises:
        BadInput: its alkali is too little for a balance, or the maker's scales are faulty.
    """
    sheet, goals, shelf = asked.recipe, asked.goals, asked.shelf
    recipe = complete(sheet, shelf) if recipe is None else recipe
    if not sheet.alkali and not recipe.sodium_hydroxide + recipe.potassium_hydroxide:
        message = f"the alkali for so little is less than a balance that reads {recipe.alkali_step:g} g can weigh out"
        raise BadInput([Diagnostic(Code.COARSE_BALANCE, message, "make a bigger batch", sheet.fats[0].span)])
    money = prices_for(recipe, shelf)
    judged = judge(recipe, money)
    if asked.waiting and not is_unfit(judged):
        raise BadInput(asked.waiting)
    currency = shelf.currency if shelf is not None else ""
    found = [*cure_verdicts(goals, sheet), *verdicts(goals, recipe, judged)] if goals is not None else []
    against = tuple(
        goal_line(item, currency)._replace(gives_way=goals is not None and gives_way(goals, item.id)) for item in found
    )
    techniques = sheet.techniques or (goals.techniques if goals is not None else ())
    cure = sheet.cure_weeks if "cure_weeks" in sheet.given else None
    times = NO_TIMES if is_unfit(judged) else on_time(asked.scales, recipe, judged, techniques, cure, sheet.poured_into)
    return WeighedRecipe(
        title=sheet.title,
        currency=currency,
        recipe_file=recipe_file,
        recipe=recipe,
        judgement=judged,
        measures=measure_lines(judged.values, ()),
        cost=CostFigures.of(judged, sheet.cured_weight_kg, sheet.bars) if money is not None else None,
        goals=against,
        preferences=tuple(preference_lines(goals, recipe, judged, currency)) if goals is not None else (),
        meets_goals=all(item.holds_when_weighed for item in against if not item.gives_way)
        if goals is not None
        else None,
        cautions=cautions(recipe, judged, techniques),
        notes=(
            *notes(sheet, shelf, recipe, money),
            *([NO_CURE] if goals is not None and goals.cure and "cure_weeks" not in sheet.given else []),
            *on_using_up(goals, shelf, recipe),
            *short_of_time(times, techniques),
            *shorter_when_warm(recipe, times),
        ),
        times=times,
        is_unfit=is_unfit(judged),
        steps=steps(recipe, judged, techniques, times),
        ash=None if is_unfit(judged) or not advise else on_ash_in_hand(sheet, goals, recipe, judged),
        water_hardness=on_water(sheet.water or (goals.water if goals is not None else None), recipe, judged),
        warnings=asked.warnings,
        purity_basis=("assumed", "assumed") if shelf is None else shelf.purity_basis,
        lots=() if shelf is None else tuple(lots(recipe, shelf)),
        filled=filled(recipe, sheet.poured_into),
    )


def on_using_up(goals: GoalSheet | None, shelf: Shelf | None, recipe: Recipe) -> Iterator[str]:
    """How far a recipe uses up what the goals want used up; it is no limit, and no verdict hangs on it."""
    taken = by_known_name(recipe.fats) | {fat.name: grams for fat, grams in recipe.fats}
    weights = rough(recipe.units)
    for wish in () if goals is None else goals.use_up:
        stocks = [
            item.stock_kg or 0.0 for item in (() if shelf is None else shelf.fats) if wish.key in called(item.fat)
        ]
        asked, used = (
            1000.0 * (math.fsum(stocks) if wish.kilograms is None else wish.kilograms),
            taken.get(wish.key, 0.0),
        )
        if used < asked * (1.0 - LITTLE):
            yield (
                f"To be used up: {weights.told(asked)} of {wish.key}. This takes {weights.told(used)}, {weights.told(asked - used)} "
                "short; what is to be used up is a wish and no limit, and is not among the goals that are met."
            )


def called(fat: Fat) -> tuple[str, str]:
    """The names by which a fat may be asked for: its own, and that of all its lots."""
    return fat.name, fat.known_as


LITTLE = 1e-6  # part of a mass that rounding may leave


def lots(recipe: Recipe, shelf: Shelf) -> Iterator[tuple[str, str]]:
    """The number of the lot on the shelf of each fat of a recipe that lies there in one numbered lot."""
    for fat, _ in recipe.fats:
        told = [item.number for item in shelf.fats if item.fat.name == fat.name]
        if len(told) == 1 and told[0]:
            yield fat.name, told[0]


def cure_verdicts(goals: GoalSheet, sheet: RecipeSheet) -> Iterator[Verdict]:
    """The cure that a recipe tells against the one asked for; nothing where it tells none, which a note says."""
    weeks = sheet.cure_weeks
    for limit in goals.cure if "cure_weeks" in sheet.given else ():
        yield Verdict(
            limit.wish(Section.GOALS), limit, weeks, keeps(round(weeks, 6), round(limit.value, 6), limit.side)
        )


def unit_of(limit: Limit, currency: str) -> str:
    """The unit of a limit's figure, money in the currency of the shelf."""
    return f"{currency} / {limit.per or 'kg'}" if limit.key == "cost" else limit.unit


def goal_line(item: Verdict, currency: str) -> GoalLine:
    """A verdict as a line of the answer."""
    limit = item.limit
    return GoalLine(
        id=item.id,
        said=limit.said,
        line=limit.span.line or None,
        span=in_file(limit.span),
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
            value = reached(limit, recipe, judged, bar_kg(goals.batch, recipe))
            met = holds(limit, value)
            name = limit.wish(Section.PREFER, str(place))
            short = 0.0 if met else abs(value - limit.value)
            unit = unit_of(limit, currency)
            out.append(PreferenceLine(name, limit.said, limit.span.line, met, value, limit.value, unit, short))
    return out


def notes(sheet: RecipeSheet, shelf: Shelf | None, recipe: Recipe, money: Prices | None) -> Sequence[str]:
    """What was taken for granted."""
    out = []
    if not sheet.alkali:
        share = sheet.potassium_share
        part = f", {share:g} % of its moles (not of its mass) potassium hydroxide" if 0 < share < 100 else ""
        out.append(f"Alkali worked out for a superfat of {sheet.superfat or 0.0:g} %{part}, as the recipe asks.")
    held = {"sodium hydroxide": recipe.sodium_hydroxide, "potassium hydroxide": recipe.potassium_hydroxide}
    out.extend(
        f"{item.in_ounces} of {item.name} is taken as {own_weight(recipe, held[item.name])}, rounded down for the balance."
        for item in sheet.alkali
        if item.in_ounces
    )
    if sheet.water_g is None:
        share = DEFAULT_LYE if sheet.lye_concentration is None else sheet.lye_concentration
        out.append(f"Water worked out for a lye of {share:g} %.")
    if shelf is None:
        out.append("No shelf given: alkali taken as pure, saponification values from the reference table, no cost.")
    elif money is None:
        missing = [fat.name for fat, _ in recipe.fats if fat.name not in shelf.prices.fats]
        out.append(f"No cost: not on the shelf: {', '.join(missing)}.")
    if shelf is not None:
        out.extend(shelf.lot_notes(fat.name for fat, _ in recipe.fats))
        out.extend(unnamed_lots(shelf, (item.name for item in sheet.fats)))
    return out
