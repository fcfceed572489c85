"""A blend among others as a story: grams, alkali, measures and cost, judged as every answer is; its goals are not priced."""

from __future__ import annotations

from optimiser.analysis.giving_way import gave_way
from optimiser.answers.blend_result import alkali_figures, fat_lines, reckon_twice, water_figures, weighed_out
from optimiser.answers.extra_lines import additive_lines, liquid_lines
from optimiser.answers.measure_lines import measure_lines
from optimiser.answers.notes import unpriced
from optimiser.answers.results import Blend, CostFigures
from optimiser.answers.stood_aside import stood_aside
from optimiser.model.programme import Programme
from optimiser.problem.goals import GoalSheet
from optimiser.problem.question import Question
from optimiser.problem.wishes import Origin
from optimiser.recipe.cautions import cautions
from optimiser.recipe.compliance import verdicts
from optimiser.recipe.evaluation import judge
from optimiser.recipe.rounding import exact_grams, recipe_of
from optimiser.solve.optimum import Cheapest
from optimiser.solve.proof import OptimalityProof

NOT_PROVED = OptimalityProof(0.0, 0.0, exact=False)


def plain_blend(question: Question, sheet: GoalSheet, programme: Programme, found: Cheapest) -> Blend:
    """The story of a blend without the prices of its goals, its unused fats and its steps.

    Args:
        question: what was asked.
        sheet: the goals with the rules as they stand for it.
        programme: their rows.
        found: the blend.

    Raises:
        BadInput: the balance is too coarse for its alkali.
        Disagreement: the model and the judge do not agree on it.
    """
    shelf = question.shelf
    columns, money = programme.columns, shelf.prices
    grams = exact_grams(columns, found.point)
    exact = recipe_of(columns, grams, shelf.purities)
    weighed, step = weighed_out(programme, grams, shelf.purities)
    figures, judged = judge(exact, money), judge(weighed, money)
    reckon_twice(programme, found, verdicts(sheet, exact, figures))
    aside = tuple(stood_aside(sheet, gave_way(sheet, shelf), exact, figures))
    eased = {item.rule: item.said.figure for item in aside if item.at is not None}
    return Blend(
        title=sheet.title,
        currency=shelf.currency,
        goal_file=sheet.path,
        shelf_title=shelf.title,
        fats=fat_lines(exact, weighed, columns),
        alkali=alkali_figures(exact, weighed, figures),
        water=water_figures(exact, weighed, figures),
        additives=additive_lines(exact, weighed, money),
        liquids=liquid_lines(exact, weighed, money),
        measures=measure_lines(
            figures.values, [row for row in programme.rows if row.origin != Origin.PREFERENCE], eased
        ),
        figures=figures.values,
        cost=CostFigures.of(figures, columns.batch.cured_weight_kg),
        goals=(),
        preferences=(),
        unused=(),
        proof=NOT_PROVED,
        cautions=(*cautions(weighed, judged, sheet.techniques), *unpriced(shelf, weighed)),
        steps=(),
        notes=(),
        recipe=weighed,
        weighed=judged,
        step_grams=step,
        is_counted=programme.is_mixed_integer,
        practice_off=sheet.practice_off,
        shelf_file=shelf.path,
        stood_aside=aside,
        purity_basis=shelf.purity_basis,
        techniques=sheet.techniques,
        water_said=sheet.water.said if sheet.water is not None else "",
    )


def broken_of(sheet: GoalSheet, blend: Blend) -> tuple[str, ...]:
    """The wishes that no longer hold of the recipe as rounded for the balance, in the maker's words."""
    return tuple(str(item.limit.said) for item in verdicts(sheet, blend.recipe, blend.weighed) if not item.holds)
