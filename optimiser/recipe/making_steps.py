"""The making steps of a batch in order, with its own figures in them; cautions and gear first."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from optimiser.problem.batch import DEFAULT_BATTER
from optimiser.recipe.additive_steps import AT_THE_END, going_in, made_for
from optimiser.recipe.cautions import is_unfit
from optimiser.recipe.evaluation import Judgement, Recipe
from optimiser.recipe.filling_steps import (
    WHAT_TRACE_IS,
    blend_to,
    filling,
    own_steps,
    set_apart,
    stops_at,
)
from optimiser.recipe.jug import COOL, chilled
from optimiser.recipe.kinds import in_force, is_paste
from optimiser.recipe.liquid_steps import (
    liquids_after,
    liquids_before,
    made_ready,
    other_way,
    poured_first,
)
from optimiser.recipe.naming import listed
from optimiser.recipe.paste_steps import PASTE_WARMTH, paste
from optimiser.recipe.time_words import blending, curing, unmoulding
from optimiser.recipe.times import NO_TIMES, BatchTimes
from optimiser.recipe.warmth import MELTED, covering, is_solid, melts_high, shorter_when_warm, warmer_fats, warmth_of
from optimiser.recipe.weights import of_fats, of_jug, step_told

if TYPE_CHECKING:
    from optimiser.problem.designs import Design

CHILLED_FATS = 30.0  # degC: fats for a lye kept cold may be as cool as this (common practice, no source)
BEESWAX = "beeswax"  # melts at 61-66 degC (Ph. Eur. drop point, from memory): no hotter than stearin
WARM_LYE = 45.0  # degC: nobody would call such a lye cooled
STEEP = 5.0  # degC that lye and fats may lie apart
NOT_TO_BE_MADE = "Do not make this recipe: see the cautions. There are no steps for it."
VESSELS = "stainless steel or heat-proof polypropylene (PP); never aluminium, zinc or tin, and no glass, which cracks"
TESTING = (
    "Test {it} for free alkali as local rules and licensed practice ask; a pH paper alone shows neither its presence nor "
    "its absence. Keep a {kept} of the lot, and write down what happened."
)


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
    techniques = in_force(recipe, techniques)
    if is_paste(recipe, judgement.values):
        warm = recipe._replace(batter_temperature=max(recipe.batter_temperature, PASTE_WARMTH))
        return (
            *before(recipe, (), mould=""),
            *lye(warm, judgement),
            *oils(warm),
            *paste(recipe),
            TESTING.format(it="the soap", kept="jar"),
        )
    return (
        *before(recipe, techniques, mould="Line the mould. " if times.cut else "Have the mould clean and dry. "),
        *lye(recipe, judgement),
        *oils(recipe),
        *batter(recipe, techniques, times),
        *after(recipe, techniques, times),
    )


def before(recipe: Recipe, techniques: Sequence[Design], *, mould: str) -> Iterator[str]:
    """Gear, room, weighing, and what is to lie ready before the lye is made."""
    yield (
        "Goggles, gloves and long sleeves on, window open, children and animals out, running water within reach; know the first "
        "aid for skin, eyes and mouth, and read the supplier's safety data sheet."
    )
    fats = of_fats(recipe).told(recipe.fat_grams)
    yield f"{mould}Weigh the fats, {fats} in all, and read every figure twice."
    step = f", each to {step_told(recipe.units, recipe.alkali_step)}" if recipe.alkali_step else ""
    weights = of_jug(recipe)
    jug = [f"{weights.told(recipe.water)} water"] if recipe.water > 0 or not recipe.liquids else []
    jug += [f"{weights.told(grams)} {item.name}" for item, grams in recipe.liquids]
    own = " in a vessel of its own" if len(jug) == 1 else " each in a vessel of its own"
    yield from made_ready(recipe, first=True)
    yield f"Weigh {alkali_words(recipe)}, and{own} {listed(jug)}{step}."
    yield from made_ready(recipe, first=False)
    yield from own_steps(techniques, "ready")
    colours = made_for(recipe, "colour")
    if colours and is_split(techniques):
        yield f"Have the colours of the recipe ready for their parts: {colours}."


def is_split(techniques: Sequence[Design]) -> bool:
    """Whether the batter is split for a design, so that colours go into the parts."""
    return any(design.parts for design in techniques)


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
        yield f"Before any alkali, stir {listed(first)} into the {poured_first(recipe)} till nothing of it is left to see{counted}."
    yield from liquids_before(recipe, judgement.lye_as_mixed)
    yield from cold_lye(recipe) if chilled(recipe) else hot_lye(recipe, judgement)
    late = going_in(recipe, "lye")
    if late:
        warm = recipe.batter_temperature >= WARM_LYE or bool(warmer_fats(recipe))
        yield f"Stir {listed(late)} into the {'cold lye' if chilled(recipe) else 'lye' if warm else 'cooled lye'}."


def hot_lye(recipe: Recipe, judgement: Judgement) -> Iterator[str]:
    """Dissolving in water, which heats by itself, and cooling."""
    yield (
        f"In a heat-proof vessel ({VESSELS}) sprinkle the alkali into the {poured_first(recipe)}, never {other_way(recipe)}, "
        f"stirring until it is clear{heat_words(judgement)}. Do not breathe the fumes."
    )
    hot = going_in(recipe, "hot lye")
    if hot:
        yield f"While the lye is hot, stir {listed(hot)} into it, teased apart, until nothing of it is left to see."
    if warm := warmer_fats(recipe):
        yield (
            f"Let the lye cool to within {STEEP:.0f} degrees of the fats, which with {listed(list(warm))} are as warm as they need to "
            f"stay clear, above {recipe.batter_temperature:.0f} degC: lye that is cooler sets them in grains."
        )
        return
    yield f"Let the lye cool to within {STEEP:.0f} degrees of {recipe.batter_temperature:.0f} degC."


def cold_lye(recipe: Recipe) -> Iterator[str]:
    """Dissolving in what heat spoils: over ice, little by little, and kept cold."""
    yield (
        f"In a heat-proof vessel ({VESSELS}) over the ice sprinkle the alkali into the {poured_first(recipe)} a spoonful at a time, "
        f"never {other_way(recipe)}, stirring each in before the next and waiting whenever it nears {COOL:.0f} degC: below that "
        "it stays pale. Stir until no grain of alkali is left. Do not breathe the fumes."
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


def oils(recipe: Recipe) -> Iterator[str]:
    """Melting, and what goes into the fats."""
    yield melting_step(recipe)
    into_fats = going_in(recipe, "fats")
    if into_fats:
        yield f"Stir {listed(into_fats)} into the fats, as their suppliers direct."


def batter(recipe: Recipe, techniques: Sequence[Design], times: BatchTimes) -> Iterator[str]:
    """Combining, blending, what goes in at trace (scent when all else is in), and filling the mould."""
    target = blend_to(techniques)
    poured = tuple(liquids_after(recipe))
    goes_in = (*poured, *at_trace(recipe, techniques, when="Then" if poured else "At a light trace"))
    stop = "light" if goes_in else target
    blend = "stir by hand" if times.at_once else "blend in bursts of a few seconds, stirring by hand between them"
    yield f"Pour the lye into the fats and {blend}. Stop at {WHAT_TRACE_IS[stop]}."
    final = stops_at(techniques)
    told = blending(times)
    timed = " ".join((told, *shorter_when_warm(recipe, times))) if told else ""
    goes_on = final not in ("", stop)
    if timed and (not goes_on or times.at_once):
        yield timed
    yield from goes_in
    yield from set_apart(techniques)
    if goes_on:
        yield f"{'Stir on' if times.at_once else 'Blend on, in short bursts'}, to {WHAT_TRACE_IS[final]}."
        if timed and not times.at_once:
            yield timed
    yield from filling(techniques)


def at_trace(recipe: Recipe, techniques: Sequence[Design], when: str) -> Iterator[str]:
    """What is stirred in at a light trace: clays, honey and the like, colours of an undivided batter, scent, much salt."""
    places = ("trace",) if is_split(techniques) else ("trace", "colour")
    first = "; ".join(filter(None, (made_for(recipe, place) for place in places)))
    if first:
        yield f"{when} stir in {first}."
    scent = made_for(recipe, "last")
    if scent:
        yield f"Stir the scent in by hand when all else is in: {scent}; some scents make a batter stiff within seconds."
    salt = made_for(recipe, AT_THE_END)
    if salt:
        yield f"Last of all stir in {salt}, and fill the mould without delay: salt stiffens the batter."


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
        if temperature >= MELTED[0]:
            return f"{melted}. Keep it at about {temperature:.0f} degC: such a batter thickens fast, so have mould, scent and all else ready."
        hotter = [fat.name for fat in solid if fat.kind == "wax" and fat.group != BEESWAX]
        more = f", and {listed(hotter)} more" if hotter else ""
        return (
            f"{melted}. With {listed(high)} this takes about {MELTED[0]:.0f}-{MELTED[1]:.0f} degC{more}: pour as warm as the fats "
            f"need to stay clear, even if that is above {temperature:.0f} degC; such a batter thickens fast, so have mould, scent and "
            "all else ready."
        )
    return f"{melted}, and bring the fats to about {warmth(recipe)} degC, or as warm as they need to stay clear."


def warmth(recipe: Recipe) -> str:
    """How warm the fats are to be; for a lye kept cold, or what heats by itself, anything between does."""
    temperature = recipe.batter_temperature
    cooler = (chilled(recipe) or warmth_of(recipe).is_cool) and CHILLED_FATS < temperature <= DEFAULT_BATTER
    return f"{CHILLED_FATS:.0f}-{temperature:.0f}" if cooler else f"{temperature:.0f}"


def after(recipe: Recipe, techniques: Sequence[Design], times: BatchTimes) -> Iterator[str]:
    """Covering, unmoulding, cutting, curing, testing."""
    yield from covering(recipe, techniques)
    own = tuple(own_steps(techniques, "after"))
    yield unmoulding(times, cut=not own)
    yield from own
    if told := curing(times, techniques):
        yield told
    yield TESTING.format(it="a cured bar", kept="bar")


def alkali_words(recipe: Recipe) -> str:
    """The alkalis to weigh, purity said."""
    weights = (
        ("sodium hydroxide", recipe.sodium_hydroxide, recipe.sodium_purity),
        ("potassium hydroxide", recipe.potassium_hydroxide, recipe.potassium_purity),
    )
    return " and ".join(
        f"{of_jug(recipe).alkali_told(grams)} {name} ({100 * purity:g} % pure)"
        for name, grams, purity in weights
        if grams
    )


def sentence(text: str) -> str:
    """Words as a sentence."""
    return "" if not text else f"{text[0].upper()}{text[1:]}{'' if text.endswith('.') else '.'}"
