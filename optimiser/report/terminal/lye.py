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
    title = "Alkali, water, additives" if recipe.additives else "Alkali and water"
    yield Heading(title, "grams to weigh")
    yield Table(
        (Column(), Column(justify="right"), Column(wraps=True)),
        list(_weights(recipe, judged, costs or {})),
        last_is_total=True,
    )
    yield Gap()
    yield Line(
        lye_sentence(judged, say_heat=not any(caution.startswith(cautions.MADE_AT_ONCE) for caution in told)), hang=2
    )
    yield Line(superfat_sentence(judged, asked), style="bold", hang=2)
    yield from beside(told, urgent(judged, told))


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
    yield "water", words.grams(recipe.water, decimals), ""
    for item, grams in recipe.additives:
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
    if judged.pure_sodium_hydroxide > 0 < judged.pure_potassium_hydroxide:
        share, mass = judged.values["potassium_share"], cautions.potassium_by_mass(judged)
        parts.append(f"potassium hydroxide {share:.1f} % of the alkali's moles, which is {mass:.1f} % of its mass")
    if math.isfinite(judged.lye_volume_ml):
        parts.append(f"about {words.volume(judged.lye_volume_ml)}")
    low, high = judged.lye_temperature
    if say_heat and math.isfinite(high):
        boils = ", where it boils" if judged.lye_boils else ""
        reach = f"{low:.0f}-{high:.0f}" if high - low >= 1.0 else f"{high:.0f}"
        parts.append(f"from 20 degC with no heat lost it could reach {reach} degC{boils}")
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
