"""What the batch's own figures give cause to advise: against ash, in hard water, and on what the pot may hold."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence

from optimiser.problem.batch import Mould
from optimiser.problem.designs import Design, bring
from optimiser.problem.goals import GoalSheet, Water
from optimiser.problem.question import Scales
from optimiser.problem.recipe import RecipeSheet
from optimiser.recipe.evaluation import Judgement, Recipe
from optimiser.recipe.hard_water import HardWater, hard_water
from optimiser.recipe.kinds import is_paste
from optimiser.recipe.soda_ash import AshAdvice, ash_advice
from optimiser.recipe.times import BatchTimes, batch_times, in_cavities

LITTLE = 0.01  # per cent of the fats: less than this is none


def on_ash(
    sheet: GoalSheet, recipe: Recipe, judged: Judgement, at_hand: Iterable[str] | None = None
) -> AshAdvice | None:
    """Advice against ash that keeps to the goals, the design and the fats `at_hand`; None where the risk is not known."""
    if math.isnan(judged.values["ash_risk"]) or is_paste(recipe, judged.values):
        return None
    limits = (*sheet.goals, *sheet.shares, *sheet.additives, *(item.limit for item in sheet.brought))
    barred = tuple(item.tag for item in sheet.free_from)
    return ash_advice(
        *(recipe, judged, limits),
        barred=barred,
        techniques=sheet.techniques,
        given=sheet.batch.given,
        at_hand=at_hand,
    )


def on_ash_in_hand(sheet: RecipeSheet, goals: GoalSheet | None, recipe: Recipe, judged: Judgement) -> AshAdvice | None:
    """The same for a recipe in hand: what its maker chose of warmth stays, and so do the goals that it is held against."""
    held_against = goals or GoalSheet()
    if sheet.techniques:
        brought = bring([(design, design.span) for design in sheet.techniques], (), (), held_against.batch).rows
        held_against = held_against._replace(techniques=sheet.techniques, brought=(*held_against.brought, *brought))
    batch = held_against.batch._replace(given=sheet.given)
    return on_ash(held_against._replace(batch=batch), recipe, judged)


def on_water(water: Water | None, recipe: Recipe, judged: Judgement) -> HardWater | None:
    """What the maker's water takes of the bar; None where no file says how hard it is."""
    return None if water is None else hard_water(recipe, judged, water.hardness)


def on_time(
    scales: Scales,
    recipe: Recipe,
    judged: Judgement,
    techniques: Sequence[Design] = (),
    cure_weeks: float | None = None,
    mould: Mould | None = None,
) -> BatchTimes:
    """How long blending, pouring, setting and curing are likely to take, by the maker's own scales where there are any.

    Args:
        scales: those of the maker's bench.
        recipe: what is weighed.
        judged: its figures.
        techniques: the designs of the bar, which say where to stop and how long to cure.
        cure_weeks: how long the maker says that it cures; None where they do not say.
        mould: what it is poured into, as far as that is known.
    """
    times = batch_times(recipe, judged, scales, techniques, cure_weeks)
    return times if mould is None or mould.every_cavity is None else in_cavities(times)
