"""Alkali and water in words, with the cautions that stand wherever an alkali figure does."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from typing import TYPE_CHECKING

from optimiser.problem.units import Units
from optimiser.recipe import cautions
from optimiser.recipe.weights import of_jug
from optimiser.report import words
from optimiser.report.terminal.page import Column, Gap, Heading, Line, Part, Table

if TYPE_CHECKING:
    from optimiser.recipe.evaluation import Judgement, Recipe

Costs = Mapping[str, str] | None
AT_ONCE = (
    "Likely low: with lots as they ordinarily stray. Worst case: every fat at its lowest, alkali at its purest and acids at "
    "their weakest, all at once."
)
SMALLEST = 0.05  # per cent: two superfats closer than this are told as one


def urgent(recipe: Recipe, judgement: Judgement, told: Sequence[str]) -> tuple[str, ...]:
    """The cautions that go to the very top: those of the recipe as weighed, and those told ahead of the usual ones."""
    usual = cautions.standing(recipe)[0]
    first = told[: told.index(usual)] if usual in told else ()
    return tuple(dict.fromkeys((*first, *cautions.urgent(judgement))))


def at_top(urgent_ones: Sequence[str]) -> Iterator[Part]:
    """The block of urgent cautions; nothing where there are none."""
    for caution in urgent_ones:
        yield Line(f"! {caution}", style="bold red", indent=0, hang=2)
    if urgent_ones:
        yield Gap()


def beside(recipe: Recipe, told: Sequence[str], urgent_ones: Sequence[str]) -> Iterator[Part]:
    """The cautions that stand beside the figures: the usual ones in two lines always, then those that this recipe calls for."""
    said = {*urgent_ones, *cautions.standing(recipe)}
    for caution in dict.fromkeys((*cautions.in_brief(recipe), *(item for item in told if item not in said))):
        yield Line(f"! {caution}", style="yellow", hang=2)


def in_full(standing: Sequence[str]) -> Iterator[Part]:
    """What the alkalis call for, in full: hazards, handling, vessels, first aid."""
    yield Heading("Alkali: handling and first aid")
    for caution in standing:
        yield Line(f"! {caution}", style="yellow", hang=2)


def block(
    recipe: Recipe,
    judged: Judgement,
    told: Sequence[str],
    *,
    asked: float | None = None,
    costs: Costs = None,
    full: bool = False,
) -> Iterator[Part]:
    """What goes into the lye jug and beside it, what lye that is, how much fat stays free, and the cautions.

    Args:
        recipe: as weighed.
        judged: the same, judged.
        told: the story's cautions.
        asked: the superfat of the exact blend in per cent, where the recipe is a rounded one.
        costs: money for each additive, in words, where it is known.
        full: what the worst case counts too.
    """
    title = title_of(recipe)
    yield Heading(
        title, f"{of_jug(recipe).head} to weigh{words.to_a_step(recipe.alkali_step, recipe.units)}{finer(recipe)}"
    )
    yield Table(
        (Column(), Column(justify="right"), Column(wraps=True)),
        list(_weights(recipe, judged, costs or {})),
        last_is_total=True,
    )
    yield Gap()
    yield Line(
        lye_sentence(
            judged,
            say_heat=not any(caution.startswith((cautions.MADE_AT_ONCE, cautions.GOES_INTO)) for caution in told),
        ),
        hang=2,
    )
    if 0 < judged.values["potassium_share"] <= cautions.MOST_POTASSIUM:  # beyond it the caution about paste says so
        share, mass = judged.values["potassium_share"], cautions.potassium_by_mass(judged)
        yield Line(f"Potassium hydroxide is {share:.1f} % of the alkali's moles, {mass:.1f} % of its mass.", hang=2)
    yield Line(superfat_sentence(judged, asked), style="bold", hang=2)
    if full:
        yield Line(AT_ONCE, hang=2)
    yield from beside(recipe, told, urgent(recipe, judged, told))


def finer(recipe: Recipe) -> str:
    """What to weigh it on, where its grams are told finer than those of the fats."""
    return " on a finer balance" if 0.0 < recipe.alkali_step < recipe.fat_step else ""


def title_of(recipe: Recipe) -> str:
    """What the table of weights holds."""
    parts = ["alkali", "water", *(["liquids"] if recipe.liquids else []), *(["additives"] if recipe.solids else [])]
    return "Alkali and water" if len(parts) == 2 else ", ".join(parts).capitalize()


def _weights(recipe: Recipe, judged: Judgement, costs: Mapping[str, str]) -> Iterator[tuple[str, str, str]]:
    weights = of_jug(recipe)
    exact = weights._replace(decimals=max(1, weights.decimals))
    alkalis = (
        ("sodium hydroxide", recipe.sodium_hydroxide, recipe.sodium_purity, recipe.sodium_purest),
        ("potassium hydroxide", recipe.potassium_hydroxide, recipe.potassium_purity, recipe.potassium_purest),
    )
    for name, grams, purity, purest in alkalis:
        if grams > 0:
            pure = exact.alkali_told(grams * purity, words.GLUE)
            note = f"{100 * purity:g} % pure; {pure} as 100 %" if purity < 1 else "taken as 100 % pure"
            note += f"; may be up to {100 * purest:.4g} %" if purest > purity else ""
            yield name, weights.alkali(grams, words.GLUE), note
    if recipe.water > 0 or not recipe.liquids:
        yield "water", weights.figure(recipe.water, words.GLUE), ""
    for item, grams in recipe.liquids:
        share = f"{100.0 * grams / recipe.jug:.0f} % of what stands for the water"
        yield item.name, weights.figure(grams, words.GLUE), ", ".join(filter(None, (share, costs.get(item.name, ""))))
    for item, grams in recipe.solids:
        share = f"{100.0 * grams / recipe.fat_grams:.1f} % of the fats"
        yield item.name, weights.figure(grams, words.GLUE), ", ".join(filter(None, (share, costs.get(item.name, ""))))
    yield "all in the pot", weights.figure(judged.batter_grams, words.GLUE), "fats included"


def lye_sentence(judged: Judgement, *, say_heat: bool = True) -> str:
    """Strength, ratios, volume, and the heat unless a caution tells it."""
    parts = [
        f"Lye of {judged.lye_concentration:.1f} %",
        f"water : alkali {words.figure(judged.water_to_alkali, 'ratio')}",
        f"water {judged.water_share_of_fats:.1f} % of the fats",
    ]
    if math.isfinite(judged.lye_volume_ml):
        parts.append(f"lye in all about {words.volume(judged.lye_volume_ml)}")
    low, high = judged.lye_temperature
    if say_heat and math.isfinite(high):
        boils = ", where it boils" if judged.lye_boils else ""
        reach = f"{low:.0f}-{high:.0f}" if high - low >= 1.0 else f"{high:.0f}"
        parts.append(f"from 20 degC with no heat lost it could reach {reach} degC{boils}")
    return ", ".join(parts) + "."


def superfat_sentence(judged: Judgement, asked: float | None = None) -> str:
    """Superfat, its likely low and its worst case in one sentence."""
    exact, here = "", cautions.beside_none(judged.superfat)
    if asked is not None and abs(asked - judged.superfat) >= SMALLEST and f"{round(asked, 1) + 0.0:.1f}" != here:
        exact = f" as weighed ({round(asked, 1) + 0.0:.1f} % before rounding)"
    return (
        f"Superfat {here} %{exact}; likely low "
        f"{cautions.beside_none(judged.superfat_likely_low)} %, worst case {cautions.beside_none(judged.superfat_worst_case)} %."
    )


def without_steps(caution: str) -> str:
    """A caution on a page that has no making steps, where first aid is told elsewhere."""
    return caution.replace("First aid: --steps.", "First aid: barwright explain lye.")


def units_option(recipe: Recipe) -> str:
    """What a command is told again, so that it rounds to the same steps: " --units oz"; nothing in grams."""
    return "" if recipe.units == Units.GRAMS else f" --units {words.quoted(str(recipe.units))}"
