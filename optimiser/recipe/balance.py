"""What a balance weighs: its steps, grams rounded to them, and grams as every answer writes them.

A recipe is rounded once, here, before it is judged; tables, making steps, data and saved files show what it then holds.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from optimiser.problem.units import Units

if TYPE_CHECKING:
    from collections.abc import Iterable

    from optimiser.problem.batch import Batch
    from optimiser.recipe.evaluation import Recipe

FINE = 0.1  # g: a balance for alkali, water and additives
FINEST = 0.01  # g: the same for a sample
COARSE = 1.0  # g: a balance for fats; from a tonne of them for alkali too
SAMPLE = (
    100.0  # g of fats below which the finest balance is taken for granted where a recipe in hand leaves alkali open
)
SMALL_BATCH = 1000.0  # g of fats below which a finer balance is taken for granted
TONNE = 1e6  # g of fats
PLACES_MOST = 3  # no balance at a soap bench shows more than a milligram
LITTLE = 1e-6  # of a step: what binary fractions add
MILLIGRAMS = 1000.0  # in a gram
SMALL_GRAMS = 10.0  # grams below which a second decimal says something
THOUSANDS = 100_000.0  # grams from which the thousands are parted


def read_by(units: Units) -> tuple[float, float, float]:
    """What balances read, in grams: one for fats, a finer one for alkali, and the finest for samples.

    In ounces they read 0.1, 0.01 and 0.001 oz, in pounds 0.01, 0.001 and 0.0001 lb (common practice, no source).
    """
    if units.is_metric:
        return COARSE, FINE, FINEST
    first = 100.0 if units == Units.POUNDS else 10.0
    return units.grams / first, units.grams / first / 10.0, units.grams / first / 100.0


def steps(batch: Batch, total_grams: float) -> tuple[float, float]:
    """Steps of the balance in grams: for fats, and for alkali, water and additives; what a batch tells is for both."""
    if batch.scale_g is not None:
        return batch.scale_g, batch.scale_g
    coarse, fine, _ = read_by(batch.units)
    return coarse if total_grams >= SMALL_BATCH else fine, coarse if total_grams >= TONNE else fine


def step_in_hand(fat_grams: float, units: Units = Units.GRAMS, scale_g: float | None = None) -> float:
    """The step, in grams, to which alkali and water are worked out that a recipe in hand leaves open."""
    if scale_g is not None:
        return scale_g
    coarse, fine, finest = read_by(units)
    return finest if fat_grams < SAMPLE else coarse if fat_grams >= TONNE else fine


def down(grams: float, step: float) -> float:
    """Down to a step of the balance, and to the milligram: alkali. Without a step as it is.

    What lies less than a milligram below a step is that step told to the milligram, as steps in ounces are.
    """
    if not step:
        return grams
    count, hair = math.floor(grams / step + hair_of(step)), hair_of(step)
    told = math.floor(count * step * MILLIGRAMS + 1e-6) / MILLIGRAMS
    if hair == LITTLE or told <= grams + 1e-9:
        return told
    return math.floor((count - 1) * step * MILLIGRAMS + 1e-6) / MILLIGRAMS


def hair_of(step: float) -> float:
    """By what part of a step a weight may lie off it and still be that step: a milligram where steps are no milligrams."""
    whole = step * MILLIGRAMS
    return LITTLE if abs(whole - round(whole)) < LITTLE else 1.0 / whole


def up(grams: float, step: float) -> float:
    """Up to a step: acids. What lies less than a milligram above a step in ounces is that step told to the milligram."""
    if not step:
        return grams
    count, hair = math.ceil(grams / step - hair_of(step)), hair_of(step)
    told = math.ceil(count * step * MILLIGRAMS - 1e-6) / MILLIGRAMS
    if hair == LITTLE or told >= grams - 1e-9:
        return told
    return math.ceil((count + 1) * step * MILLIGRAMS - 1e-6) / MILLIGRAMS


def near(grams: float, step: float) -> float:
    """To the nearest step: water and the rest."""
    return written_whole(round(grams / step) * step) if step else grams


def written_whole(grams: float) -> float:
    """To the milligram, so that whatever is written is the whole of it."""
    return round(grams, PLACES_MOST)


def places(values: Iterable[float]) -> int:
    """The decimals that a column of weights needs so that none is shown rounder than it is weighed."""
    needed = 0
    for value in values:
        while needed < PLACES_MOST and abs(value - round(value, needed)) > 10.0**-PLACES_MOST / 2:
            needed += 1
    return needed


def sensible_places(total: float) -> int:
    """The most decimals that weights of so many grams together deserve where no balance was named."""
    return 2 if total < SMALL_GRAMS else 1 if total < THOUSANDS else 0


def fat_places(recipe: Recipe) -> int:
    """Decimals of the fats: those of the balance; no more than are sensible where none was named."""
    needed = places(grams for _, grams in recipe.fats)
    return needed if recipe.fat_step else min(needed, sensible_places(recipe.fat_grams))


def jug_places(recipe: Recipe) -> int:
    """Decimals of alkali, water and additives: every one that the alkali has, and of the others no more than are sensible.

    Where they were rounded to the balance, those of the balance.
    """
    alkali = (recipe.sodium_hydroxide, recipe.potassium_hydroxide)
    rest = places((recipe.water, *(grams for _, grams in recipe.additives)))
    if not recipe.fat_step:
        rest = min(rest, sensible_places(sum(alkali)))
    return max(rest, places((*alkali, recipe.alkali_step)))


def written(grams: float, decimals: int, blank: str = " ") -> str:
    """Grams in so many decimals, thousands parted by blanks where there are very many."""
    text = f"{round(grams, decimals) + 0.0:.{decimals}f}"
    return f"{float(text):,.{decimals}f}".replace(",", blank) if abs(grams) >= THOUSANDS else text
