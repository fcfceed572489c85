"""What is done at the bench with the liquids that stand for water: made ready, and put where the heat does not spoil them."""

from __future__ import annotations

from collections.abc import Iterator

from optimiser.recipe.additive_steps import weighed_in
from optimiser.recipe.cautions import JUST, ORDINARY_LYE
from optimiser.recipe.evaluation import Recipe
from optimiser.recipe.jug import chilled, in_jug, waiting
from optimiser.recipe.naming import listed

FROZEN = (
    "There is {plain} plain water to dissolve the alkali by itself, so it goes into {names}: have {it} frozen to slush, and stand "
    "the vessel in a bath of ice."
)
SPLIT = (
    "The alkali is dissolved in the {first} alone, a lye of {mixed:.0f} %; {names} {wait} till the batter has come together, away "
    "from the hot lye."
)
WEIGHED_LATE = {
    "boiled": " Weigh it only then: water goes off with the steam, and a lye made with what is left of it would be stronger than told.",
    "yes": " Weigh it only then.",
}
STRONGER = " A lye as strong as that is hotter and thicker than usual: let it cool well."


def poured_first(recipe: Recipe) -> str:
    """What the alkali is sprinkled into, in a word or two."""
    names = in_jug(recipe)
    if not names:
        return "water"
    return listed([*(["water"] if recipe.water > 0 else []), *names])


def other_way(recipe: Recipe) -> str:
    """What is never to be done."""
    return "the other way round" if in_jug(recipe) else "water onto alkali"


def made_ready(recipe: Recipe, *, first: bool) -> Iterator[str]:
    """How each liquid is made ready beforehand: for the alkali, or to wait for trace.

    Args:
        recipe: what is weighed.
        first: tell of those that are made ready before they are weighed; else of those that are weighed as they come.
    """
    later = waiting(recipe)
    for item, _ in recipe.liquids:
        advice = item.advice_late if item.name in later else item.advice
        if advice and bool(item.made_first) == first:
            weigh = WEIGHED_LATE.get(item.made_first, "")
            yield f"{item.name.capitalize()}: {advice[0].lower()}{advice[1:]}{weigh}"


def liquids_before(recipe: Recipe, lye_as_mixed: float) -> Iterator[str]:
    """What goes into the jug before the alkali, or waits; the strength of the lye as mixed is in per cent."""
    later, first, frozen = waiting(recipe), in_jug(recipe), chilled(recipe)
    plain = [name for name in first if name not in frozen]
    if plain and recipe.water > 0:
        yield f"Pour {listed(plain)} into the water, all of it cold."
    if frozen:
        some = "too little" if recipe.water > 0 or plain else "no"
        yield FROZEN.format(plain=some, names=listed(frozen), it="it" if len(frozen) == 1 else "them")
    if later and not frozen:
        wait = "wait" if len(later) > 1 else "waits"
        told = SPLIT.format(first=poured_first(recipe), mixed=lye_as_mixed, names=listed(later), wait=wait)
        yield told + (STRONGER if lye_as_mixed > ORDINARY_LYE + JUST else "")
    elif later:
        yield f"{listed(later).capitalize()} {'wait' if len(later) > 1 else 'waits'} till the batter has come together."


def liquids_after(recipe: Recipe, when: str = "At a light trace") -> Iterator[str]:
    """What is stirred in once the batter has come together."""
    later = waiting(recipe)
    told = [weighed_in(recipe, item, grams) for item, grams in recipe.liquids if item.name in later]
    if told:
        yield f"{when} stir in {listed(told)}, at the warmth of the batter, bit by bit; it thins the batter at first."
