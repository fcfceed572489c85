"""The model's vectors and the judge's sums, which share no code, say the same of any recipe; so does a sum by hand."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import assume, given, settings
from strategies import SPAN, Bar, bars, examples, recipe_at, recipes, shelf_of, stocked

from optimiser.answers.blend import answer_for
from optimiser.answers.results import Blend
from optimiser.maths.arrays import Vector
from optimiser.measures.measures import measures
from optimiser.measures.profiles import floored
from optimiser.measures.quantities import quantities
from optimiser.model.columns import Columns
from optimiser.model.pieces import Pull, curves
from optimiser.model.rows import quantity
from optimiser.problem.batch import Batch
from optimiser.problem.shelf import Stocked
from optimiser.recipe.bar_values import amount_of, unknown_measures
from optimiser.recipe.evaluation import Recipe, judge
from optimiser.recipe.rounding import point_of

NAOH, KOH = 39.997, 56.106  # g/mol


def columns_for(recipe: Recipe) -> tuple[Columns, Vector]:
    """The columns that a recipe needs and the recipe as a point over them."""
    fats = tuple(sorted((Stocked(fat, 1.0, None, (), None, SPAN) for fat, _ in recipe.fats), key=lambda i: i.fat.name))
    shelf = shelf_of({item.fat.name: 1.0 for item in fats}, potassium=True, purity=1.0)
    batch = Batch(batter_temperature=recipe.batter_temperature, gel=recipe.gel, cured_water=recipe.cured_water)
    batch = batch._replace(cure_weeks=recipe.cure_weeks)
    pulls = {lever: Pull(amount_of(recipe, lever)) for lever in curves()}
    made = Columns(fats, tuple(item for item, _ in recipe.additives), shelf, batch, pulls)
    point = made.zeros()
    total = recipe.fat_grams
    for fat, grams in recipe.fats:
        point[made.index[fat.name]] = grams / total
    for item, grams in recipe.additives:
        point[made.index[item.name]] = grams / total
    point[made.index["sodium hydroxide"]] = recipe.sodium_hydroxide / total
    point[made.index["potassium hydroxide"]] = recipe.potassium_hydroxide / total
    brought = sum(item.water_fraction * grams for item, grams in recipe.additives)
    point[made.index["water"]] = (recipe.water + brought) / total
    return made, made.lot_spread.lifted(point)


@settings(max_examples=examples(150))
@given(recipes())
def test_model_and_judge_agree_on_every_quantity(recipe: Recipe) -> None:
    """Every quantity that may be a goal has the same value by the model's vectors as by the judge's sums.

    In every piece of every lever: the piece is laid around what the recipe holds. Of what is beyond all ranges the judge
    tells nothing, and no goal can be set on it.
    """
    made, point = columns_for(recipe)
    values = judge(recipe).values
    unknown = unknown_measures(recipe, float(made.free_oil @ point), 1000.0 * float(point[made.index["water"]]))
    for key in quantities():
        if key == "cost":
            continue
        found = quantity(made, key)
        top = float(found.top @ point)
        ours = top if found.bottom is None else top / float(found.bottom @ point)
        if key in unknown:
            assert math.isnan(values[key]), key
            continue
        known = measures().get(key)
        ours = ours if known is None else floored(known, ours)
        assert ours == pytest.approx(values[key], rel=1e-9, abs=1e-7), key


@settings(max_examples=examples(60))
@given(recipes())
def test_cured_weight_and_water_agree(recipe: Recipe) -> None:
    """The model's cured weight for a kilo of fats is the judge's, and so is all the water."""
    made, point = columns_for(recipe)
    judged = judge(recipe)
    assert float(made.cured @ point) == pytest.approx(judged.cured_grams / recipe.fat_grams)
    assert point[made.index["water"]] == pytest.approx(judged.total_water / recipe.fat_grams)
    assert np.allclose(point_of(made, recipe)[: made.count], point[: made.count])


@settings(max_examples=examples(60))
@given(recipes())
def test_alkali_agrees_with_a_sum_by_hand(recipe: Recipe) -> None:
    """Superfat is one less the alkali left for fat over sum of g x SV / 56.106, summed here (ISO 3657 for SV)."""
    demand = math.fsum(fat.saponification.value / KOH * grams / 1000.0 for fat, grams in recipe.fats)
    acid = math.fsum(item.alkali_mol_per_kg * grams / 1000.0 for item, grams in recipe.additives)
    present = recipe.sodium_hydroxide / NAOH + recipe.potassium_hydroxide / KOH
    assert judge(recipe).superfat == pytest.approx(100.0 * (1.0 - (present - acid) / demand), abs=1e-6)


@settings(max_examples=examples(40))
@given(bars())
def test_the_answers_alkali_agrees_with_a_sum_by_hand(bar: Bar) -> None:
    """Grams of sodium hydroxide in an answer are what its fats take by hand, to 0.01 %."""
    blend = answer_for(bar.sheet, bar.shelf)
    assert isinstance(blend, Blend)
    moles = (
        math.fsum(stocked(line.fat, 1.0).fat.saponification.value / KOH * line.grams for line in blend.fats) / 1000.0
    )
    purity = bar.shelf.alkalis["sodium hydroxide"].purity
    by_hand = (1.0 - blend.alkali.superfat / 100.0) * moles * NAOH / purity
    assert blend.alkali.sodium_hydroxide == pytest.approx(by_hand, rel=1e-4)


@settings(max_examples=examples(40))
@given(bars())
def test_a_blend_told_is_the_blend_judged(bar: Bar) -> None:
    """Every figure told of an answer is what the judge says of its shares, superfat and lye."""
    assume(all(wish.key != "superfat" for wish in bar.sheet.goals))
    blend = answer_for(bar.sheet, bar.shelf)
    assert isinstance(blend, Blend)
    shares = {line.fat: line.share for line in blend.fats}
    again = judge(recipe_at(shares, superfat=blend.alkali.superfat, lye=blend.water.lye_concentration))
    for key, value in again.values.items():
        assert blend.figures[key] == pytest.approx(value, rel=1e-6, abs=1e-5), key
