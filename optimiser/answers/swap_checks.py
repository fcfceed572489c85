"""A blend that is to take the place of a bar, held against the judge before it is shown."""

from __future__ import annotations

from collections.abc import Callable
from typing import TypeVar

from optimiser.answers.blend_result import Disagreement, reckon_twice
from optimiser.maths.arrays import Vector
from optimiser.model.programme import Programme
from optimiser.problem.goals import GoalSheet
from optimiser.problem.shelf import Shelf
from optimiser.recipe.balance import SMALL_BATCH
from optimiser.recipe.compliance import verdicts
from optimiser.recipe.evaluation import Judgement, Recipe, judge
from optimiser.recipe.rounding import exact_grams, recipe_of
from optimiser.solve.moving import CheapNear, Near
from optimiser.solve.optimum import Cheapest
from optimiser.solve.outcomes import Outcome
from optimiser.solve.solver import Live

FATS_OFF = 3.0  # steps of the balance by which the fats together may be others than they were
SUPERFAT_OFF = 0.1  # per cent of superfat: fats rounded one by one, acids rounded up
ALKALI_OFF = 3.0  # steps by which both alkalis together may be less, rounded down

Found = TypeVar("Found", Near, CheapNear)


def agreed(live: Live, ask: Callable[[], Found | None], check_one: Callable[[Vector], None]) -> Found | None:
    """What is asked of a live model, once the judge agrees with it; from cold where it does not agree with a warm answer.

    Raises:
        Disagreement: they differ even so, and the blend is not shown.
    """
    found = ask()
    if found is None:
        return None
    try:
        check_one(found.point)
    except Disagreement:
        live.forget()
        found = ask()
        if found is not None:
            check_one(found.point)
    return found


def check(sheet: GoalSheet, base: Programme, point: Vector, shelf: Shelf) -> None:
    """Hold the model's own figures of a blend against the judge's.

    Raises:
        Disagreement: they differ, so the blend is not shown.
    """
    exact = recipe_of(base.columns, exact_grams(base.columns, point), shelf.purities)
    reckon_twice(
        base,
        Cheapest(0.0, point, Outcome(feasible=True, point=point)),
        verdicts(sheet, exact, judge(exact, shelf.prices)),
    )


def hold_mass(old: Recipe, recipe: Recipe, judged: Judgement, superfat: float, step: float = 0.0) -> None:
    """Hold a recipe that is to be shown against the old one's mass of fats, and against the superfat that it was made for.

    Args:
        old: the recipe whose place it takes.
        recipe: as it would be weighed.
        judged: the judge's figures of it.
        superfat: what was asked for, in per cent.
        step: of the balance that its alkali was rounded for, where the recipe itself does not say.

    Raises:
        Disagreement: its fats weigh more or less than the old ones, or its alkali is for others than it has.
    """
    fine = recipe.alkali_step or step
    grams = max(recipe.fat_step, fine, old.fat_step, 1.0 if old.fat_grams >= SMALL_BATCH else 0.1)
    if abs(recipe.fat_grams - old.fat_grams) > FATS_OFF * grams:
        raise Disagreement(f"{recipe.fat_grams:.6g} g of fats in place of {old.fat_grams:.6g} g")
    alkali = recipe.sodium_hydroxide + recipe.potassium_hydroxide
    room = SUPERFAT_OFF + 100.0 * ALKALI_OFF * fine / max(alkali, fine, 1e-9)
    if not abs(judged.superfat - superfat) <= room:
        raise Disagreement(f"a superfat of {judged.superfat:.4g} % where {superfat:.4g} % was asked for")
