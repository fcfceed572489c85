"""Alkali and water in words, with the cautions that stand wherever an alkali figure does."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from typing import TYPE_CHECKING

from optimiser.recipe import cautions
from optimiser.report import words
from optimiser.report.terminal.page import Column, Gap, Heading, Line, Part, Table

if TYPE_CHECKING:
    from optimiser.recipe.evaluation import Judgement, Recipe

HOT = "if no heat were lost"  # how the caution about hot lye says it; where it stands, the figure is said already
Costs = Mapping[str, str] | None
SMALLEST = 0.05  # per cent: two superfats closer than this are told as one


def urgent(judgement: Judgement, told: Sequence[str]) -> tuple[str, ...]:
    """The cautions that go to the very top: those of the recipe as weighed, and those told ahead of the usual ones."""
    first = told[: told.index(cautions.LYE[0])] if cautions.LYE[0] in told else ()
    return tuple(dict.fromkeys((*first, *cautions.urgent(judgement))))


def at_top(urgent_ones: Sequence[str]) -> Iterator[Part]:
    """The block of urgent cautions; nothing where there are none."""
    for caution in urgent_ones:
        yield Line(f"! {caution}", style="bold red", indent=0, hang=2)
    if urgent_ones:
        yield Gap()


def beside(told: Sequence[str], urgent_ones: Sequence[str]) -> Iterator[Part]:
    """The cautions that stand beside the figures: the usual ones always, then those that this recipe calls for."""
    for caution in dict.fromkeys((*cautions.LYE, *told)):
        if caution not in urgent_ones:
            yield Line(f"! {caution}", style="yellow", hang=2)


def block(
    recipe: Recipe, judged: Judgement, told: Sequence[str], *, asked: float | None = None, costs: Costs = None
) -> Iterator[Part]:
    """What goes into the lye jug and beside it, what lye that is, how much fat stays free, and the cautions.

    Args:
        recipe: as weighed.
        judged: the same, judged.
        told: the story's cautions.
        asked: the superfat of the exact blend in per cent, where the recipe is a rounded one.
        costs: money for each additive, in words, where it is known.
    """
    title = title_of(recipe)
    yield Heading(title, "grams to weigh")
    yield Table(
        (Column(), Column(justify="right"), Column(wraps=True)),
        list(_weights(recipe, judged, costs or {})),
        last_is_total=True,
    )
    yield Gap()
    yield Line(lye_sentence(judged, say_heat=not any(HOT in caution for caution in told)), hang=2)
    yield Line(superfat_sentence(judged, asked), style="bold", hang=2)
    yield from beside(told, urgent(judged, told))


def title_of(recipe: Recipe) -> str:
    """What the table of weights holds."""
    parts = ["alkali", "water", *(["liquids"] if recipe.liquids else []), *(["additives"] if recipe.solids else [])]
    return "Alkali and water" if len(parts) == 2 else ", ".join(parts).capitalize()


def _weights(recipe: Recipe, judged: Judgement, costs: Mapping[str, str]) -> Iterator[tuple[str, str, str]]:
    jug = [recipe.sodium_hydroxide, recipe.potassium_hydroxide, recipe.water]
    shown = words.places([*jug, *(grams for _, grams in recipe.additives)])
    decimals = min(shown, words.sensible_places(recipe.sodium_hydroxide + recipe.potassium_hydroxide))
    alkalis = (
        ("sodium hydroxide", recipe.sodium_hydroxide, recipe.sodium_purity),
        ("potassium hydroxide", recipe.potassium_hydroxide, recipe.potassium_purity),
    )
    for name, grams, purity in alkalis:
        if grams > 0:
            pure = words.alkali_grams(grams * purity, max(1, decimals))
            note = f"{100 * purity:g} % pure, {pure} g of it alkali" if purity < 1 else "taken as 100 % pure"
            yield name, words.alkali_grams(grams, decimals), note
    if recipe.water > 0 or not recipe.liquids:
        yield "water", words.grams(recipe.water, decimals), ""
    for item, grams in recipe.liquids:
        share = f"{100.0 * grams / recipe.jug:.0f} % of what stands for the water"
        yield item.name, words.grams(grams, decimals), ", ".join(filter(None, (share, costs.get(item.name, ""))))
    for item, grams in recipe.solids:
        share = f"{100.0 * grams / recipe.fat_grams:.1f} % of the fats"
        yield item.name, words.grams(grams, decimals), ", ".join(filter(None, (share, costs.get(item.name, ""))))
    yield "all in the pot", words.grams(judged.batter_grams, decimals), "fats included"


def lye_sentence(judged: Judgement, *, say_heat: bool = True) -> str:
    """Strength, ratios, volume, and the heat unless a caution tells it."""
    parts = [
        f"Lye of {judged.lye_concentration:.1f} %",
        f"water : alkali {words.figure(judged.water_to_alkali, 'ratio')}",
        f"water {judged.water_share_of_fats:.1f} % of the fats",
    ]
    if math.isfinite(judged.lye_volume_ml):
        parts.append(f"about {words.volume(judged.lye_volume_ml)}")
    low, high = judged.lye_temperature
    if say_heat and math.isfinite(high):
        parts.append(f"from 20 degC it could reach {low:.0f}-{high:.0f} degC {HOT}")
    return ", ".join(parts) + "."


def superfat_sentence(judged: Judgement, asked: float | None = None) -> str:
    """Superfat, its likely low and its worst case in one sentence."""
    exact = ""
    if asked is not None and abs(asked - judged.superfat) >= SMALLEST:
        exact = f" as weighed ({round(asked, 1) + 0.0:.1f} % before rounding)"
    return (
        f"Superfat {judged.superfat:.1f} %{exact}; with ordinary lots hardly below {judged.superfat_likely_low:.1f} %, "
        f"and {judged.superfat_worst_case:.1f} % if every fat lay at its lowest at once."
    )
