"""Laws of the nearest blend: a recipe that meets its goals is its own answer, and looser goals never change more."""

from __future__ import annotations

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from strategies import PLAIN, examples

from optimiser import at_most, blend_for, goals_of, shelf_of
from optimiser.answers.results import Blend
from optimiser.problem.asking_near import as_it_is, changed_by, recipe_of
from optimiser.problem.limits import Limit
from optimiser.problem.recipe import RecipeSheet

SHELF = shelf_of({name: 2.0 + place % 7 for place, name in enumerate(PLAIN)}, sodium_hydroxide=2.4)


@st.composite
def recipes(draw: st.DrawFn) -> RecipeSheet:
    """One to six fats in whole grams, no sample so small that rounding is felt, with a superfat and a lye that people use."""
    names = draw(st.lists(st.sampled_from(PLAIN), min_size=1, max_size=6, unique=True))
    grams = {name: float(draw(st.integers(300, 4000))) for name in names}
    superfat, lye = draw(st.integers(2, 10)), draw(st.integers(26, 40))
    added = {"sodium lactate": 0.01 * sum(grams.values())} if draw(st.booleans()) else {}
    return recipe_of(grams, superfat=superfat, lye_concentration=lye, additives=added)


def answered(recipe: RecipeSheet, *wishes: Limit, practice: bool = True) -> Blend | None:
    """The nearest blend, if there is one."""
    found = blend_for(goals_of(*wishes, practice=practice), SHELF, near=recipe)
    return found if isinstance(found, Blend) else None


@settings(max_examples=examples(25))
@given(recipes())
def test_a_recipe_that_meets_its_goals_comes_back(recipe: RecipeSheet) -> None:
    """With the house's rules and figures as they are, whatever the recipe breaks: the same fats to the balance, and the same alkali."""
    found = answered(
        recipe, as_it_is("hardness"), as_it_is("cost"), as_it_is("superfat"), as_it_is(recipe.fats[0].name)
    )
    assert found is not None
    assert found.near is not None
    assert found.near.is_unchanged
    assert found.near.moved == pytest.approx(0.0, abs=1e-6)
    assert found.near.proof.least == pytest.approx(0.0, abs=1e-9)
    told = {line.fat: line.to_weigh for line in found.fats}
    assert told == pytest.approx({fat.name: fat.grams for fat in recipe.fats}, abs=1e-6)
    assert found.near.alkali_after[0] == pytest.approx(found.near.alkali_before[0], abs=0.1001)
    assert not any(rule.rule == "pinches" for rule in found.stood_aside)
    assert found.alkali.superfat == pytest.approx(recipe.superfat, abs=1e-6)
    assert found.water.lye_concentration == pytest.approx(recipe.lye_concentration, abs=1e-6)


@settings(max_examples=examples(25))
@given(recipes(), st.integers(1, 8), st.integers(1, 6))
def test_looser_goals_never_change_more(recipe: RecipeSheet, harder: int, less: int) -> None:
    """What must be changed for a harder bar is no less than for one that need be less hard; each blend changes no less than it must."""
    tight = answered(recipe, changed_by("hardness", harder), practice=False)
    assume(tight is not None)
    loose = answered(recipe, changed_by("hardness", harder - less), practice=False)
    assert tight is not None
    assert loose is not None
    assert tight.near is not None
    assert loose.near is not None
    assert loose.near.moved <= tight.near.moved + 1e-6
    assert tight.near.moved >= tight.near.proof.least - 1e-6
    assert tight.near.moved == pytest.approx(tight.near.proof.least, abs=1e-5)


@settings(max_examples=examples(15))
@given(recipes(), st.integers(1, 5))
def test_with_the_house_few_fats_change_and_the_bound_holds(recipe: RecipeSheet, harder: int) -> None:
    """With its rules a blend may change a little more than it must, a twentieth of the fats at the most, and leaves no pinch."""
    found = answered(recipe, changed_by("hardness", harder), at_most("castor oil", 40))
    assume(found is not None)
    assert found is not None
    assert found.near is not None
    near = found.near
    assert near.proof.least - 1e-6 <= near.moved <= near.proof.least + 5.0 + 1e-6
    before = {fat.name: 100.0 * fat.grams / sum(one.grams for one in recipe.fats) for fat in recipe.fats}
    pinches = [change for change in near.fats if 0.0 < change.after < min(3.0, before.get(change.fat) or 3.0) - 1e-6]
    others = [
        fat for fat in pinches if near.moved < near.proof.least + 1e-5
    ]  # left only where tidying was not to be had
    assert len(pinches) == len(others)
