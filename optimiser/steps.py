"""The making steps of a batch in order, with its own figures in them."""

from __future__ import annotations

import math
from collections.abc import Iterator

from optimiser.recipe import Judgement, Recipe

MELTING_KINDS = ("hard oil", "butter", "wax", "fatty acid")


def steps(recipe: Recipe, judgement: Judgement) -> tuple[str, ...]:
    """What to do at the bench, one sentence a step."""
    return tuple(told(recipe, judgement))


def told(recipe: Recipe, judgement: Judgement) -> Iterator[str]:
    """The steps, from gloves to cure."""
    yield "Goggles, gloves and long sleeves on; window open; nobody else in the room."
    melting = [fat.name for fat, _ in recipe.fats if fat.kind in MELTING_KINDS]
    yield f"Weigh the fats: {recipe.fat_grams:,.0f} g in all."
    yield f"Weigh {alkali_words(recipe)} and, apart, {recipe.water:,.1f} g water."
    heat = judgement.lye_temperature[1]
    hot = f"; it may climb towards {heat:.0f} degC" if not math.isnan(heat) else ""
    yield f"Sprinkle the alkali into the water in a heat-proof vessel (never water onto alkali), stirring until clear{hot}. Let it cool."
    if melting:
        names = ", ".join(melting)
        yield f"Melt {names} gently, then stir in the liquid oils; bring the fats to about {recipe.batter_temperature:.0f} degC."
    else:
        yield f"Bring the fats to about {recipe.batter_temperature:.0f} degC."
    if recipe.additives:
        names = ", ".join(f"{item.name} {grams:,.1f} g" for item, grams in recipe.additives)
        yield f"Stir the additives into the cooled lye or the fats as their maker directs: {names}."
    yield "Pour the lye into the fats; blend in bursts of 10-15 seconds, stirring between, until it traces. Pour at once."
    if recipe.gel:
        yield "Cover and keep warm so that it gels through."
    yield "Unmould when firm, cut, and cure four weeks or longer in moving air."
    yield "Test a cured bar for free alkali as local rules and licensed practice ask before it is used or sold."


def alkali_words(recipe: Recipe) -> str:
    """The alkalis to weigh, purity said."""
    parts = []
    if recipe.sodium_hydroxide:
        parts.append(f"{recipe.sodium_hydroxide:,.1f} g sodium hydroxide ({100 * recipe.sodium_purity:g} % pure)")
    if recipe.potassium_hydroxide:
        parts.append(
            f"{recipe.potassium_hydroxide:,.1f} g potassium hydroxide ({100 * recipe.potassium_purity:g} % pure)"
        )
    return " and ".join(parts)
