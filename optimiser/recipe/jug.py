"""Which liquids the alkali is dissolved in, and which wait till the batter has come together."""

from __future__ import annotations

from optimiser.recipe.evaluation import Recipe, late

COOL = 25.0  # degC: alkali in milk is kept below it (common practice, no source)


def waiting(recipe: Recipe) -> list[str]:
    """The liquids that go in at trace, by name."""
    return [item.name for item, _ in late(recipe) if item.is_liquid]


def in_jug(recipe: Recipe) -> list[str]:
    """The liquids that the alkali is dissolved in, by name."""
    later = waiting(recipe)
    return [item.name for item, _ in recipe.liquids if item.name not in later]


def chilled(recipe: Recipe) -> list[str]:
    """The liquids in the jug that heat spoils, by name: where there are any, the lye is kept cold from first to last."""
    first = in_jug(recipe)
    return [item.name for item, _ in recipe.liquids if item.goes_in == "split" and item.name in first]
