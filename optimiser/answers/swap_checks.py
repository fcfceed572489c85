"""A blend that is to take the place of a bar, held against the judge before it is shown."""

from __future__ import annotations

from collections.abc import Callable
from typing import TypeVar

from optimiser.answers.blend_result import Disagreement, reckon_twice
from optimiser.maths.arrays import Vector
from optimiser.model.programme import Programme
from optimiser.problem.goals import GoalSheet
from optimiser.problem.shelf import Shelf
from optimiser.recipe.compliance import verdicts
from optimiser.recipe.evaluation import judge
from optimiser.recipe.rounding import exact_grams, recipe_of
from optimiser.solve.moving import CheapNear, Near
from optimiser.solve.optimum import Cheapest
from optimiser.solve.outcomes import Outcome
from optimiser.solve.solver import Live

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
