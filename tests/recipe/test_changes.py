"""How far a recipe is from one in hand, by sums over the pot."""

from __future__ import annotations

import pytest

from optimiser import goals_of, shelf_of
from optimiser.measures.differences import drift
from optimiser.problem.asking_near import recipe_of
from optimiser.problem.near import Near
from optimiser.recipe.changes import fat_changes, measure_changes, moved
from optimiser.recipe.completion import complete
from optimiser.recipe.evaluation import Recipe, judge
from optimiser.recipe.in_hand import near_goals

SHELF = shelf_of({"olive oil": 7.4, "coconut oil": 3.1, "lard": 2.2}, sodium_hydroxide=2.4)


def near(**fats: float) -> Near:
    """The recipe in hand."""
    recipe = recipe_of({name.replace("_", " "): grams for name, grams in fats.items()})
    found = near_goals(recipe, SHELF, goals_of(practice=False)).near
    assert found is not None
    return found


def pot(**fats: float) -> Recipe:
    """Another recipe."""
    return complete(recipe_of({name.replace("_", " "): grams for name, grams in fats.items()}), SHELF)


def test_moved_is_what_is_taken_and_put() -> None:
    """Taking a fifth of one fat and putting as much of another changes a fifth, whatever the size of the batch."""
    assert moved(near(olive_oil=700, coconut_oil=300), pot(olive_oil=1000, coconut_oil=600, lard=400)) == pytest.approx(
        20.0
    )
    assert moved(near(olive_oil=700, coconut_oil=300), pot(olive_oil=70, coconut_oil=30)) == pytest.approx(0.0)
    assert moved(near(olive_oil=700), pot(lard=300)) == pytest.approx(100.0)


def test_what_goes_is_told_before_what_comes() -> None:
    """Fats in the order: gone, less, more; grams beside the same mass of fats."""
    told = list(
        fat_changes(
            near(emu_oil=100, olive_oil=600, coconut_oil=300),
            pot(olive_oil=500, coconut_oil=300, lard=200),
            pot(olive_oil=500, coconut_oil=300, lard=200),
        )
    )
    assert [line.fat for line in told] == ["emu oil", "olive oil", "lard"]
    assert told[0].why == "it is not on the shelf"
    assert [line.grams_before for line in told] == pytest.approx([100.0, 600.0, 0.0])
    assert [line.grams_after for line in told] == pytest.approx([0.0, 500.0, 200.0])


def test_drift_counts_each_measure_in_what_it_is_sure_to() -> None:
    """The same recipe has not drifted; another has by what each differs beyond its own plus or minus, in parts of that (hardness 7, wear life 4)."""
    recipe = near(olive_oil=700, coconut_oil=300)
    other = judge(pot(lard=700, coconut_oil=300))
    by_hand = sum(
        max(0.0, abs(other.values[name] - recipe.values[name]) - room) / room
        for name, room in (("hardness", 7.0), ("wear_life", 4.0))
    )
    assert drift(measure_changes(recipe, other, ("hardness", "wear_life"))) == pytest.approx(by_hand)
    assert by_hand > 0.0
