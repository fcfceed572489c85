"""What would let a recipe keep all that rounding breaks."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import assume, given, settings
from strategies import Bar, at_least, at_most, bars, exactly, examples, limit, sheet_of, shelf_of

from optimiser.answers.blend import answer_for
from optimiser.answers.results import Blend
from optimiser.model.programme import build
from optimiser.problem.batch import Batch
from optimiser.problem.goals import GoalSheet
from optimiser.problem.limits import GRAMS
from optimiser.problem.shelf import Shelf
from optimiser.problem.units import Units
from optimiser.recipe.rounding import Grams
from optimiser.recipe.rounding_cures import cures, finer_than, larger, with_step
from optimiser.recipe.weighing_out import Task

SHELF = shelf_of({"coconut oil": 3.0, "olive oil": 7.0}, extra={"salt": 1.0})
LOOSE = (at_least("superfat", 0.0), at_least("lye_concentration", 10.0))


def task_for(sheet: GoalSheet, coarse: float, shelf: Shelf = SHELF) -> Task:
    """A bowl of 29.4 and 70.6 g on a balance of such a step."""
    made = build(sheet._replace(batch=sheet.batch._replace(fats_kg=0.1, scale_g=coarse)), shelf)
    grams = Grams(np.array([29.4, 70.6]), 14.0, 0.0, 28.0, np.zeros(len(made.columns.additives)))
    return Task(made, grams, (1.0, 1.0), sheet, shelf.prices, (coarse, coarse))


def test_the_coarsest_balance_that_keeps_all_is_told() -> None:
    """29.4 % exactly is 29.4 g of 100: half a gram more or less is a tenth of a per cent off, as 59 g are in a batch of 200 g."""
    found = cures(task_for(sheet_of(*LOOSE, shares=(exactly("coconut oil", 29.4, "fat"),)), 2.0))
    assert found == (0.5, 3)
    assert cures(task_for(sheet_of(*LOOSE, shares=(exactly("coconut oil", 29.4, "fat"),)), 1.0)) == (0.5, 2)


def test_what_nothing_cures_is_none() -> None:
    """A blend that does not keep its own row is mended by no balance."""
    found = cures(task_for(sheet_of(*LOOSE, shares=(at_most("coconut oil", 5.0, "fat"),)), 1.0))
    assert found == (None, None)


def test_a_larger_batch_is_no_cure_where_grams_are_told() -> None:
    """With 3 g of salt in this very batch a larger one is another recipe."""
    salt = limit("salt", "at_most", 3.0, "additive")._replace(unit=GRAMS)
    sheet = sheet_of(*LOOSE, shares=(exactly("coconut oil", 29.4, "fat"),), additives=(salt,))
    assert cures(task_for(sheet, 1.0)) == (0.5, None)


def test_finer_balances_are_those_of_the_units() -> None:
    """Grams below a step in grams, ounces below one in ounces; water and alkali keep the finer balance they had."""
    task = task_for(sheet_of(*LOOSE), 1.0)
    assert list(finer_than(task)) == [0.5, 0.1, 0.01]
    batch = Batch(fats_kg=0.1, units=Units.OUNCES)
    ounces = task_for(sheet_of(*LOOSE, batch=batch), 2.8349523125)
    assert list(finer_than(ounces)) == pytest.approx([step * 28.349523125 for step in (0.05, 0.01, 0.005, 0.001)])
    assert with_step(task._replace(balance=(1.0, 0.1)), 0.5).balance == (0.5, 0.1)
    assert with_step(task._replace(balance=(1.0, 0.1)), 0.01).balance == (0.01, 0.01)


def test_a_larger_batch_is_as_much_of_everything() -> None:
    """Three times every fat, alkali and water."""
    task = task_for(sheet_of(*LOOSE), 1.0)
    more = larger(task, 3)
    assert more.grams.fats == pytest.approx(3.0 * task.grams.fats)
    assert (more.grams.sodium_pure, more.grams.water, more.balance) == (42.0, 84.0, (1.0, 1.0))


@settings(max_examples=examples(20), deadline=None)
@given(bars(most_fats=4, most_limits=3))
def test_a_cure_that_is_told_cures(bar: Bar) -> None:
    """Asked again on the finer balance that was told, or for the larger batch, every goal holds when weighed."""
    thirds = (exactly("superfat", 5.0), at_least("lye_concentration", 32.0), at_most("lye_concentration", 33.0))
    kept = tuple(wish for wish in bar.sheet.goals if wish.key not in ("superfat", "lye_concentration"))
    sheet = bar.sheet._replace(goals=(*kept, *thirds), batch=Batch(fats_kg=0.4, scale_g=5.0))
    blend = answer_for(sheet, bar.shelf)
    assume(isinstance(blend, Blend) and blend.rounding.missed)
    assert isinstance(blend, Blend)
    told = blend.rounding
    again = [Batch(fats_kg=0.4, scale_g=told.finer)] if told.finer else []
    again += [Batch(fats_kg=0.4 * told.times, scale_g=5.0)] if told.times else []
    words = " ".join(blend.notes)
    assert ("All of it would hold" in words) == bool(again)
    for batch in again:
        other = answer_for(sheet._replace(batch=batch), bar.shelf)
        assert isinstance(other, Blend)
        assert other.rounding.missed == ()
        assert all(line.holds_when_weighed for line in other.goals)
