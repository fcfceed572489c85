"""Potassium soap: no mould and no rack, but a paste that is kept warm till it is clear, tried, and let down with water.

Common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from optimiser.recipe.additive_steps import AT_THE_END, made_for
from optimiser.recipe.evaluation import Recipe
from optimiser.recipe.liquid_steps import liquids_after

PASTE_WARMTH = 65.0  # degC of lye and fats: cooler, potassium lye and oil hardly stay together


def paste(recipe: Recipe) -> Iterator[str]:
    """From the trace to the jar."""
    yield (
        "Pour the lye into the fats and blend in bursts, with rests, till it stays together; it may part several times on "
        "the way, and is stirred together again. Stop when it is too stiff for the blender."
    )
    yield (
        "Cook it: keep the covered pot in a hot water bath at 70-85 degC, stirring and scraping down every half hour, till the paste is "
        "clear through and through, often three to six hours. Or let it stand covered and warm for two to three weeks, stirred "
        "daily at first: slower, with the same end."
    )
    yield (
        "Try it: stir a spoonful into ten of hot distilled water. Clear when it has cooled, it is done; milky, there is fat not yet "
        "taken up, more superfat than the water carries, or much palmitic and stearic acid (palm, tallow, butters), which stays cloudy "
        "however long it is cooked. Cook on for an hour and try again: what gets no clearer then, and tests free of alkali, stays so."
    )
    yield from liquids_after(recipe, when="Once it is clear")
    late = "; ".join(filter(None, (made_for(recipe, place) for place in ("trace", "colour", "last", AT_THE_END))))
    if late:
        yield f"Off the heat stir in {late}."
    yield "Fill the paste into lidded jars of polypropylene (PP) or glass while it is warm: it needs no mould and no rack."
    yield (
        "For a liquid, let it down: weigh some paste, bring half to twice its weight of distilled water to the simmer, crumble the "
        "paste in, and leave it covered overnight; thin it with more water bit by bit. With so much water it can spoil: use it "
        "within weeks, or preserve it as its supplier directs for a soap that stays alkaline."
    )
