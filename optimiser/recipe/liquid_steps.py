"""What is done at the bench with the liquids that stand for water: made ready, and put where the heat does not spoil them."""

from __future__ import annotations

from collections.abc import Iterator

from optimiser.recipe.cautions import listed
from optimiser.recipe.evaluation import Recipe, late

FROZEN = (
    "There is too little plain water to dissolve the alkali by itself, so it goes into {names}: frozen to slush, in a bath of "
    "ice, the alkali a spoonful at a time, stirred and never left to get warm (below 25 degC it stays pale)."
)
SPLIT = (
    "The alkali is dissolved in the {first} alone, as much or more than its own weight; {names} {wait} till the batter has come "
    "together, away from the hot lye. A lye as strong as that is hotter and thicker than usual: let it cool well."
)


def waiting(recipe: Recipe) -> list[str]:
    """The liquids that go in at trace, by name."""
    return [item.name for item, _ in late(recipe) if item.is_liquid]


def in_jug(recipe: Recipe) -> list[str]:
    """The liquids that the alkali is dissolved in, by name."""
    later = waiting(recipe)
    return [item.name for item, _ in recipe.liquids if item.name not in later]


def poured_first(recipe: Recipe) -> str:
    """What the alkali is sprinkled into, in a word or two."""
    names = in_jug(recipe)
    if not names:
        return "water"
    return listed([*(["water"] if recipe.water > 0 else []), *names])


def other_way(recipe: Recipe) -> str:
    """What is never to be done."""
    return "the other way round" if in_jug(recipe) else "water onto alkali"


def made_ready(recipe: Recipe) -> Iterator[str]:
    """How each liquid is made ready beforehand."""
    for item, _ in recipe.liquids:
        if item.advice:
            yield f"{item.name.capitalize()}: {item.advice[0].lower()}{item.advice[1:]}"


def liquids_before(recipe: Recipe) -> Iterator[str]:
    """What goes into the jug before the alkali, or waits."""
    later, first = waiting(recipe), in_jug(recipe)
    frozen = [item.name for item, _ in recipe.liquids if item.goes_in == "split" and item.name in first]
    plain = [name for name in first if name not in frozen]
    if plain and recipe.water > 0:
        yield f"Pour {listed(plain)} into the water, all of it cold."
    if frozen:
        yield FROZEN.format(names=listed(frozen))
    if later:
        yield SPLIT.format(first=poured_first(recipe), names=listed(later), wait="wait" if len(later) > 1 else "waits")


def liquids_after(recipe: Recipe) -> Iterator[str]:
    """What is stirred in at a light trace."""
    later = waiting(recipe)
    told = [f"{item.name} {grams:,.1f} g" for item, grams in recipe.liquids if item.name in later]
    if told:
        yield f"At a light trace stir in {listed(told)}, at the warmth of the batter, bit by bit; it thins the batter at first."
