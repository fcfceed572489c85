"""The making steps of a batch in order, with its own figures in them; cautions and gear first."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from optimiser.materials.additives import Additive
from optimiser.materials.fat import Fat
from optimiser.problem.batch import DEFAULT_BATTER
from optimiser.recipe.balance import fat_places, jug_places, written
from optimiser.recipe.cautions import is_unfit, listed
from optimiser.recipe.evaluation import Judgement, Recipe
from optimiser.recipe.liquid_steps import (
    COOL,
    chilled,
    liquids_after,
    liquids_before,
    made_ready,
    other_way,
    poured_first,
)
from optimiser.recipe.time_words import blending, curing, unmoulding
from optimiser.recipe.times import NO_TIMES, BatchTimes

if TYPE_CHECKING:
    from optimiser.problem.designs import Design

MELTING_KINDS = ("hard oil", "butter", "wax", "fatty acid")
LIQUID_WAX_IODINE = 60.0  # g I2/100 g: a wax above it (jojoba) is liquid
STEARIN_IODINE = 35.0  # g I2/100 g: a hard oil or fat below it, lauric oils aside, needs real heat to melt
CHILLED_FATS = 30.0  # degC: fats for a lye kept cold may be as cool as this (common practice, no source)
STEEP = 5.0  # degC that lye and fats may lie apart
MUCH_SALT = 5.0  # per cent of the fats: more goes in at trace
NOT_TO_BE_MADE = "Do not make this recipe: see the cautions. There are no steps for it."
WHAT_TRACE_IS = {
    "light": "a light trace: a drop from the spoon stays on the face for a blink and sinks",
    "medium": "a medium trace: a drop lies on the face like custard",
    "thick": "a thick trace: it holds the peaks that the spoon leaves",
    "": "trace: a drop from the spoon leaves a mark on the face",
}
VESSELS = "stainless steel or heat-proof polypropylene; never aluminium, zinc or tin, and no glass, which cracks"


def steps(
    recipe: Recipe,
    judgement: Judgement,
    techniques: Sequence[Design] = (),
    times: BatchTimes = NO_TIMES,
) -> tuple[str, ...]:
    """What to do at the bench, one sentence or two a step.

    Args:
        recipe: what is weighed.
        judgement: its figures.
        techniques: the designs of the bar, for the trace to stop at, covering and cure.
        times: how long it is likely to take.
    """
    if is_unfit(judgement):
        return (NOT_TO_BE_MADE,)
    return (
        *before(recipe),
        *lye(recipe, judgement),
        *batter(recipe, techniques, times),
        *after(recipe, techniques, times),
    )


def before(recipe: Recipe) -> Iterator[str]:
    """Gear, room and weighing."""
    yield (
        "Goggles, gloves and long sleeves on, window open, children and animals out, running water within reach; know the first "
        "aid for skin, eyes and mouth, and read the supplier's safety data sheet."
    )
    fats = written(recipe.fat_grams, fat_places(recipe))
    yield f"Line the mould. Weigh the fats, {fats} g in all, and read every figure twice."
    step = f", each to {recipe.alkali_step:g} g" if recipe.alkali_step else ""
    jug = [f"{in_jug(recipe, recipe.water)} g water"] if recipe.water > 0 or not recipe.liquids else []
    jug += [f"{in_jug(recipe, grams)} g {item.name}" for item, grams in recipe.liquids]
    own = " in a vessel of its own" if len(jug) == 1 else " each in a vessel of its own"
    yield f"Weigh {alkali_words(recipe)}, and{own} {listed(jug)}{step}."
    yield from made_ready(recipe)


def going_in(recipe: Recipe, where: str) -> list[str]:
    """The additives that go in at one place, with their grams."""
    return [
        f"{item.name} {in_jug(recipe, grams)} g"
        for item, grams in recipe.solids
        if place_of(recipe, item, grams) == where
    ]


def in_jug(recipe: Recipe, grams: float) -> str:
    """Grams of alkali, water or an additive, as the table of them writes them."""
    return written(grams, jug_places(recipe))


def place_of(recipe: Recipe, item: Additive, grams: float) -> str:
    """Where an additive is put; much salt, as for a salt bar, goes in at trace."""
    much = item.base == "salt" and grams > MUCH_SALT / 100.0 * recipe.fat_grams
    return "trace" if much else item.goes_in


def lye(recipe: Recipe, judgement: Judgement) -> Iterator[str]:
    """Dissolving, and what the lye cools to; where milk is in it, it never gets warm."""
    first = going_in(recipe, "water")
    if first:
        acids = any(item.alkali_mol_per_kg > 0 for item, _ in recipe.solids)
        counted = (
            ", well chilled: acid and alkali heat each other, and the alkali that acids take is counted in"
            if acids
            else ""
        )
        yield f"Before any alkali, put {listed(first)} into the water{counted}."
    yield from liquids_before(recipe, judgement.lye_as_mixed)
    yield from cold_lye(recipe) if chilled(recipe) else hot_lye(recipe, judgement)
    late = going_in(recipe, "lye")
    if late:
        yield f"Stir {listed(late)} into the {'cold' if chilled(recipe) else 'cooled'} lye."


def hot_lye(recipe: Recipe, judgement: Judgement) -> Iterator[str]:
    """Dissolving in water, which heats by itself, and cooling."""
    yield (
        f"In a heat-proof vessel ({VESSELS}) sprinkle the alkali into the {poured_first(recipe)}, never {other_way(recipe)}, "
        f"stirring until it is clear{heat_words(judgement)}. Keep your face away from the fumes."
    )
    hot = going_in(recipe, "hot lye")
    if hot:
        yield f"While the lye is hot, stir {listed(hot)} into it, teased apart, until nothing of it is left to see."
    yield f"Let the lye cool to within {STEEP:.0f} degrees of {recipe.batter_temperature:.0f} degC."


def cold_lye(recipe: Recipe) -> Iterator[str]:
    """Dissolving in what heat spoils: over ice, little by little, and kept cold."""
    yield (
        f"In a heat-proof vessel ({VESSELS}) over the ice sprinkle the alkali into the {poured_first(recipe)} a spoonful at a time, "
        f"never {other_way(recipe)}, stirring each in before the next and waiting whenever it nears {COOL:.0f} degC: below that "
        "it stays pale. Stir until no grain of alkali is left. Keep your face away from the fumes."
    )
    hot = going_in(recipe, "hot lye")
    if hot:
        yield f"Stir {listed(hot)} into it, teased apart; in a cold lye that takes long: strain out what is left to see."
    yield f"Keep the lye below {COOL:.0f} degC till it goes into the fats."


def heat_words(judgement: Judgement) -> str:
    """What the lye could reach, after a step's words; nothing where no table reaches."""
    low, high = judgement.lye_temperature
    if math.isnan(high):
        return ""
    if judgement.lye_boils:
        sure = "would" if low >= judgement.lye_boiling_point else "could"
        return (
            f"; made at once it {sure} boil, at about {judgement.lye_boiling_point:.0f} degC, so add little by little"
        )
    return f"; made at once it could reach about {high:.0f} degC, less in practice"


def batter(recipe: Recipe, techniques: Sequence[Design], times: BatchTimes) -> Iterator[str]:
    """Melting, combining, blending and pouring."""
    yield melting_step(recipe)
    oils = going_in(recipe, "fats")
    if oils:
        yield f"Stir {listed(oils)} into the fats, as their suppliers direct."
    pour_to = next((design.pour_to for design in techniques if design.pour_to), "")
    yield (
        "Pour the lye into the fats and blend in bursts of a few seconds, stirring by hand between them. "
        f"Stop at {WHAT_TRACE_IS[pour_to]}."
    )
    if told := blending(times):
        yield told
    yield from liquids_after(recipe)
    last = going_in(recipe, "trace")
    if last:
        yield f"At a light trace stir in {listed(last)}, wetted or sieved so that nothing clumps."
    yield from (f"For the {design.name}: {sentence(design.batter)}" for design in techniques if design.batter)
    yield "Pour, and knock the mould on the table to bring up the air."


def melting_step(recipe: Recipe) -> str:
    """Melting what is solid, with more heat where something needs it, and where the fats come to rest."""
    temperature = recipe.batter_temperature
    solid = [fat for fat, _ in recipe.fats if is_solid(fat)]
    liquid = len(solid) < len(recipe.fats)
    if not solid:
        return f"Bring the fats to about {warmth(recipe)} degC."
    high = [fat.name for fat in solid if melts_high(fat)]
    rest = ", stir in the liquid oils" if liquid else ""
    melted = f"Melt {listed([fat.name for fat in solid])} gently{rest}"
    if high:
        return (
            f"{melted}. With {listed(high)} this takes about 60-70 degC (waxes more): pour as warm as the fats need to "
            f"stay clear, even if that is above {temperature:.0f} degC; such a batter thickens fast."
        )
    return f"{melted}, and bring the fats to about {warmth(recipe)} degC, or as warm as they need to stay clear."


def warmth(recipe: Recipe) -> str:
    """How warm the fats are to be; for a lye kept cold anything between the ends does, unless the batter is to be warmer."""
    temperature = recipe.batter_temperature
    cooler = chilled(recipe) and CHILLED_FATS < temperature <= DEFAULT_BATTER
    return f"{CHILLED_FATS:.0f}-{temperature:.0f}" if cooler else f"{temperature:.0f}"


def is_solid(fat: Fat) -> bool:
    """Whether a fat must be melted; jojoba is a wax that need not."""
    return fat.kind in MELTING_KINDS and not (fat.kind == "wax" and fat.iodine.value > LIQUID_WAX_IODINE)


def melts_high(fat: Fat) -> bool:
    """Whether a fat stays solid at the heat of an ordinary batter."""
    stearin = fat.kind == "hard oil" and fat.iodine.value < STEARIN_IODINE and "lauric" not in fat.tags
    return fat.kind in ("wax", "fatty acid") or "hydrogenated" in fat.tags or stearin


def after(recipe: Recipe, techniques: Sequence[Design], times: BatchTimes) -> Iterator[str]:
    """Covering, unmoulding, cutting, curing, testing."""
    cover = next((design.cover for design in techniques if design.cover), "")
    if recipe.gel:
        yield "Cover and keep it warm so that it gels through."
    elif cover:
        yield sentence(cover)
    yield unmoulding(times)
    if told := curing(times, techniques):
        yield told
    yield (
        "Test a cured bar for free alkali as local rules and licensed practice ask; a pH paper alone shows neither its "
        "presence nor its absence. Keep a bar of the lot, and write down what happened."
    )


def alkali_words(recipe: Recipe) -> str:
    """The alkalis to weigh, purity said."""
    weights = (
        ("sodium hydroxide", recipe.sodium_hydroxide, recipe.sodium_purity),
        ("potassium hydroxide", recipe.potassium_hydroxide, recipe.potassium_purity),
    )
    return " and ".join(
        f"{in_jug(recipe, grams)} g {name} ({100 * purity:g} % pure)" for name, grams, purity in weights if grams
    )


def sentence(text: str) -> str:
    """Words as a sentence."""
    return "" if not text else f"{text[0].upper()}{text[1:]}{'' if text.endswith('.') else '.'}"
