"""Where each additive is put at the bench, with its grams and how it is made ready for that."""

from __future__ import annotations

from optimiser.materials.additives import Additive
from optimiser.recipe.evaluation import Recipe
from optimiser.recipe.naming import listed
from optimiser.recipe.weights import of_jug

MUCH_SALT = 5.0  # per cent of the fats: more goes in at the end, when everything else is in
AT_THE_END = "end"


def going_in(recipe: Recipe, where: str) -> list[str]:
    """The additives that go in at one place, with their grams."""
    return [weighed_in(recipe, item, grams) for item, grams in at_place(recipe, where)]


def made_for(recipe: Recipe, where: str) -> str:
    """The same in one list, each with how it is made ready; nothing where there are none."""
    ways: dict[str, list[str]] = {}
    for item, grams in at_place(recipe, where):
        ways.setdefault(item.advice, []).append(weighed_in(recipe, item, grams))
    told = [f"{listed(names)}, {advice}" if advice else listed(names) for advice, names in ways.items()]
    return "; ".join(told)


def at_place(recipe: Recipe, where: str) -> list[tuple[Additive, float]]:
    """The additives of one place."""
    return [(item, grams) for item, grams in recipe.solids if place_of(recipe, item, grams) == where]


def weighed_in(recipe: Recipe, item: Additive, grams: float) -> str:
    """An additive and its grams."""
    return f"{item.name} {of_jug(recipe).told(grams)}"


def place_of(recipe: Recipe, item: Additive, grams: float) -> str:
    """Where an additive is put; much salt, as for a salt bar, goes in at the end."""
    much = item.base == "salt" and grams > MUCH_SALT / 100.0 * recipe.fat_grams
    return AT_THE_END if much else item.goes_in
