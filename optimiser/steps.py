"""The making steps of a batch in order, with its own figures in them; cautions and gear first."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from optimiser.design_form import Design
from optimiser.recipe import Judgement, Recipe
from optimiser.times import ExpectedTime

MELTING_KINDS = ("hard oil", "butter", "wax", "fatty acid")
STEEP = 5.0  # degC that lye and fats may lie apart
WHAT_TRACE_IS = {
    "thin": "a thin trace: a drop from the spoon stays on the face for a blink and sinks",
    "medium": "a medium trace: a drop lies on the face like custard",
    "thick": "a thick trace: it holds the peaks that the spoon leaves",
    "": "trace: a drop from the spoon leaves a mark on the face",
}
DEFAULT_CURE = "Four weeks or longer."


def steps(
    recipe: Recipe,
    judgement: Judgement,
    techniques: Sequence[Design] = (),
    times: Sequence[ExpectedTime] = (),
) -> tuple[str, ...]:
    """What to do at the bench, one sentence or two a step.

    Args:
        recipe: what is weighed.
        judgement: its figures.
        techniques: the designs of the bar, for the trace to stop at, covering and cure.
        times: how long trace and unmoulding are likely to take.
    """
    known = {item.measure: item for item in times}
    return (
        *before(recipe),
        *lye(recipe, judgement),
        *batter(recipe, techniques, known.get("trace")),
        *after(recipe, techniques, known.get("set_up")),
    )


def before(recipe: Recipe) -> Iterator[str]:
    """Gear, room and weighing."""
    yield (
        "Goggles, gloves and long sleeves on, window open, children and animals out, running water within reach; read the "
        "supplier's safety data sheet. Alkali burns skin and blinds (H314) and eats aluminium, zinc and tin (H290)."
    )
    yield f"Line the mould. Weigh the fats, {recipe.fat_grams:,.0f} g in all, and read every figure twice."
    yield f"Weigh {alkali_words(recipe)} and, apart from it, {recipe.water:,.1f} g water."


def lye(recipe: Recipe, judgement: Judgement) -> Iterator[str]:
    """Dissolving, and what the lye cools to."""
    heat = judgement.lye_temperature[1]
    hot = f"; made at once it could reach about {heat:.0f} degC, less in practice" if not math.isnan(heat) else ""
    yield (
        "In a heat-proof vessel (steel or heavy plastic, never glass or aluminium) sprinkle the alkali into the water, never "
        f"water onto alkali, stirring until it is clear{hot}. Keep your face away from the fumes."
    )
    acids = [item.name for item, _ in recipe.additives if item.alkali_mol_per_kg > 0]
    if acids:
        yield f"Dissolve {', '.join(acids)} in a little of the weighed water first; the alkali it takes is counted in."
    temperature = recipe.batter_temperature
    yield f"Let the lye cool to within {STEEP:.0f} degrees of {temperature:.0f} degC."


def batter(recipe: Recipe, techniques: Sequence[Design], trace: ExpectedTime | None) -> Iterator[str]:
    """Melting, combining, blending and pouring."""
    temperature = recipe.batter_temperature
    melting = [fat.name for fat, _ in recipe.fats if fat.kind in MELTING_KINDS]
    melt = f"Melt {', '.join(melting)} gently, stir in the liquid oils and bring" if melting else "Bring"
    yield f"{melt} the fats to about {temperature:.0f} degC."
    rest = [f"{item.name} {grams:,.1f} g" for item, grams in recipe.additives]
    if rest:
        yield f"Stir in the additives as their suppliers direct: {', '.join(rest)}."
    pour_to = next((design.pour_to for design in techniques if design.pour_to), "")
    yield (
        "Pour the lye into the fats and blend in bursts of 10-15 seconds, stirring by hand between them: many batches come "
        f"to trace in less than a minute of blending. Stop at {WHAT_TRACE_IS[pour_to]}."
    )
    if trace is not None:
        whose = "by your own trials" if trace.own else "a rule of thumb, not of your bench"
        yield f"Expect {trace.said()} to trace ({whose}). {sentence(trace.changed_by)}"
    yield from (f"For the {design.name}: {sentence(design.batter)}" for design in techniques if design.batter)
    yield "Pour, and knock the mould on the table to bring up the air."


def after(recipe: Recipe, techniques: Sequence[Design], set_up: ExpectedTime | None) -> Iterator[str]:
    """Covering, unmoulding, cutting, curing, testing."""
    cover = next((design.cover for design in techniques if design.cover), "")
    if recipe.gel:
        yield "Cover and keep it warm so that it gels through."
    elif cover:
        yield sentence(cover)
    if set_up is not None:
        whose = "by your own trials" if set_up.own else "a rule of thumb"
        yield f"Unmould when it is firm and comes away clean, in {set_up.said()} or so ({whose}), still in gloves; cut."
    else:
        yield "Unmould when it is firm and comes away clean, still in gloves; cut."
    cure = next((design.cure for design in techniques if design.cure), DEFAULT_CURE)
    yield f"Cure on a rack in moving air: {cure[0].lower()}{cure[1:]}"
    yield (
        "Test a cured bar for free alkali as local rules and licensed practice ask; a pH paper alone shows neither its "
        "presence nor its absence. Keep a bar of the lot, and write down what happened."
    )


def alkali_words(recipe: Recipe) -> str:
    """The alkalis to weigh, purity said."""
    parts = []
    if recipe.sodium_hydroxide:
        parts.append(f"{recipe.sodium_hydroxide:,.1f} g sodium hydroxide ({100 * recipe.sodium_purity:g} % pure)")
    if recipe.potassium_hydroxide:
        purity = f"{100 * recipe.potassium_purity:g} % pure"
        parts.append(f"{recipe.potassium_hydroxide:,.1f} g potassium hydroxide ({purity})")
    return " and ".join(parts)


def sentence(text: str) -> str:
    """Words as a sentence."""
    return "" if not text else f"{text[0].upper()}{text[1:]}{'' if text.endswith('.') else '.'}"
