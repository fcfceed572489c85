"""A recipe in hand and wishes told from it, made in Python."""

from __future__ import annotations

import pytest

from optimiser import at_least, blend_for, goals_of, shelf_of
from optimiser.answers.results import Blend
from optimiser.measures.sides import Side
from optimiser.problem.asking_near import as_it_is, changed_by, recipe_of

SHELF = shelf_of({"olive oil": 7.4, "coconut oil": 3.1, "lard": 2.2}, sodium_hydroxide=2.4)
RECIPE = recipe_of({"olive oil": 700, "coconut oil": 300}, superfat=6, lye_concentration=30)


def test_wishes_are_told_from_the_recipe() -> None:
    """One point harder, no dearer and as mild: the same as from files."""
    wishes = (changed_by("hardness", 1), as_it_is("cost"), as_it_is("mildness"), at_least("olive oil", 20))
    found = blend_for(goals_of(*wishes, practice=False), SHELF, near=RECIPE)
    assert isinstance(found, Blend)
    assert found.near is not None
    assert found.near.cost_before is not None
    hard = {line.measure.id: (line.before, line.after) for line in found.near.measures}["hardness"]
    assert hard[1] >= hard[0] + 1.0 - 1e-6
    assert found.cost.per_kg <= found.near.cost_before + 1e-9
    assert found.alkali.superfat == pytest.approx(6.0)
    assert found.water.lye_concentration == pytest.approx(30.0)


def test_a_recipe_with_milk_and_lactate_comes_back() -> None:
    """Additives and liquids made in Python stand as they are."""
    recipe = recipe_of(
        {"olive oil": 700, "lard": 300}, additives={"sodium lactate": 20}, liquids={"goat milk": 50}, gel=True
    )
    found = blend_for(goals_of(practice=False), SHELF, near=recipe)
    assert isinstance(found, Blend)
    assert found.near is not None
    assert found.near.is_unchanged
    assert [(line.additive, round(line.grams, 6)) for line in found.additives] == [("sodium lactate", 20.0)]
    assert [(line.liquid, round(line.share, 6)) for line in found.liquids] == [("goat milk", 50.0)]
    assert found.recipe.gel


@pytest.mark.parametrize(
    ("what", "by", "side"),
    [
        ("hardness", -2, Side.AT_LEAST),
        ("rancidity", -0.2, Side.AT_MOST),
        ("cost", 0.2, Side.AT_MOST),
        ("trace speed", -3, Side.AT_MOST),
        ("olive oil", 5, Side.AT_LEAST),
    ],
)
def test_a_better_bar_is_meant(what: str, by: float, side: Side) -> None:
    """Without a side the better one is meant, and where neither is better that of the sign."""
    assert changed_by(what, by).side == side
    assert changed_by(what, by, Side.EXACTLY).side == Side.EXACTLY


def test_what_cannot_be_is_refused() -> None:
    """No fats, no such fat, figures that no recipe has, and wishes without the recipe that they are told from."""
    with pytest.raises(ValueError, match="without fats"):
        recipe_of({})
    with pytest.raises(ValueError, match="no fat"):
        recipe_of({"olvie oil": 100})
    with pytest.raises(ValueError, match="superfat"):
        recipe_of({"olive oil": 100}, superfat=-2)
    with pytest.raises(ValueError, match="cannot be weighed"):
        recipe_of({"olive oil": 0})
    with pytest.raises(ValueError, match="not told"):
        changed_by("likely superfat", 1)
    with pytest.raises(ValueError, match="not told"):
        changed_by("hardness", 1, per="kg")
    with pytest.raises(ValueError, match="near=recipe_of"):
        blend_for(goals_of(changed_by("hardness", 1)), SHELF)
