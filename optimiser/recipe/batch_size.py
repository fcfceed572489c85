"""How much a batch is: grams of fats, of batter or of cured bars, litres in the mould; and a recipe brought to a size."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from typing import NamedTuple

from optimiser.materials.batter import POTASSIUM_VOLUME, SODIUM_VOLUME, WATER_VOLUME, WITHIN
from optimiser.problem.batch import Batch, Mould
from optimiser.problem.recipe import RecipeSheet, Weighed
from optimiser.recipe.balance import steps, written_whole
from optimiser.recipe.evaluation import Recipe, batter_grams, cured_grams, total_water

ROUNDS = 30
FEW = 20.0  # steps of which a fat is a little
CLOSE = 1e-9  # relative: nearer than any balance


class Filled(NamedTuple):
    """A mould, or several, and the litres of batter that are poured into it, right to `within` (a fraction) of them."""

    mould: Mould
    litres: float
    within: float


def filled(recipe: Recipe, mould: Mould | None) -> Filled | None:
    """How far a recipe fills what it is poured into; None where nothing tells of a mould."""
    return None if mould is None else Filled(mould, litres(recipe), litres_within(recipe))


def litres(recipe: Recipe) -> float:
    """The room that the fresh batter takes up, in litres: the sum of its parts (see `materials.batter`)."""
    fats = math.fsum(grams / fat.density for fat, grams in recipe.fats)
    alkali = SODIUM_VOLUME * recipe.sodium_hydroxide * recipe.sodium_purity
    alkali += POTASSIUM_VOLUME * recipe.potassium_hydroxide * recipe.potassium_purity
    solids = math.fsum(grams * (1.0 - item.water_fraction) * item.litres for item, grams in recipe.additives)
    return (fats + alkali + WATER_VOLUME * total_water(recipe) + solids) / 1000.0


def litres_within(recipe: Recipe) -> float:
    """How far that may lie off, as a fraction of it: fats and lye, and beside them each additive by what is not sure of it."""
    off = math.fsum(grams * (1.0 - item.water_fraction) * item.litres_off for item, grams in recipe.additives)
    whole = litres(recipe)
    return WITHIN + off / 1000.0 / whole if whole else WITHIN


def pure_alkali(recipe: Recipe) -> float:
    """Grams of alkali without its impurities."""
    return recipe.sodium_hydroxide * recipe.sodium_purity + recipe.potassium_hydroxide * recipe.potassium_purity


def compared(recipe: Recipe, batch: Batch) -> tuple[float, float]:
    """How large a recipe is, and how large the batch is to be, in the unit that tells the batch: kg or litres."""
    if batch.fats_kg is not None:
        return recipe.fat_grams / 1000.0, batch.fats_kg
    if batch.mould is not None:
        return litres(recipe), batch.mould.litres
    if batch.batter_kg is not None:
        return batter_grams(recipe) / 1000.0, batch.batter_kg
    return cured_grams(recipe, pure_alkali(recipe)) / 1000.0, (batch.bars or 1) * batch.cured_weight_kg


def bar_kg(batch: Batch, recipe: Recipe) -> float:
    """What a cured bar weighs, in kg: as told, or what comes out of a cavity that is filled with this batter."""
    if batch.mould is None or batch.cavities is None:
        return batch.cured_weight_kg
    return cured_grams(recipe, pure_alkali(recipe)) / 1000.0 / litres(recipe) * batch.mould.litres / batch.cavities


def sized(sheet: RecipeSheet, whole: Callable[[RecipeSheet], Recipe]) -> RecipeSheet:
    """A recipe whose fats are told in per cent, in the grams of its batch, on the steps of a balance.

    What is told in grams of the batch (an additive, a liquid, water) stays, so its size is found step by step.

    Args:
        sheet: the recipe, its fats in grams for a kilo of them.
        whole: makes a recipe whole, its alkali and water worked out.
    """
    batch = (sheet.to_make or Batch())._replace(units=sheet.units)
    told = sheet._replace(to_make=None)
    factor = 1.0
    for _ in range(ROUNDS):
        made, wanted = compared(whole(with_fats(told, factor)), batch)
        if abs(made - wanted) <= CLOSE * wanted:
            break
        factor *= wanted / made
    return on_steps(with_fats(told, factor), batch)


def with_fats(sheet: RecipeSheet, factor: float) -> RecipeSheet:
    """So many times the fats, and what is told by them."""
    return sheet._replace(
        fats=tuple(item._replace(grams=item.grams * factor) for item in sheet.fats),
        additives=tuple(
            item._replace(grams=item.grams * factor) if item.by_share else item for item in sheet.additives
        ),
    )


def on_steps(sheet: RecipeSheet, batch: Batch | None = None) -> RecipeSheet:
    """The fats rounded for the balance, so that their sum is the rounded sum."""
    step, fine = steps(batch or Batch(), math.fsum(item.grams for item in sheet.fats))
    return sheet._replace(fats=rounded(sheet.fats, step, fine))


def rounded(fats: Sequence[Weighed], step: float, fine: float = 0.0) -> tuple[Weighed, ...]:
    """Grams to a step, largest remainders first; none that is there becomes nothing.

    Of a little (a wax, a butter of a per cent) a step would be much: it goes to the step `fine` of the balance for alkali, if there is one.
    """
    little = {place for place, item in enumerate(fats) if item.grams < FEW * step}
    if little and len(little) < len(fats) and 0.0 < fine < step:
        large = iter(rounded_all([item for place, item in enumerate(fats) if place not in little], step))
        small = iter(rounded_all([fats[place] for place in sorted(little)], fine))
        return tuple(next(small if place in little else large) for place in range(len(fats)))
    return rounded_all(fats, step)


def rounded_all(fats: Sequence[Weighed], step: float) -> tuple[Weighed, ...]:
    """The same of fats that are all weighed on one balance."""
    exact = [item.grams / step for item in fats]
    counts = [math.floor(value + 1e-9) for value in exact]
    missing = round(math.fsum(exact)) - sum(counts)
    order = sorted(range(len(fats)), key=lambda place: counts[place] - exact[place])
    for place in order[: max(0, missing)]:
        counts[place] += 1
    return tuple(
        item._replace(grams=written_whole(max(count, 1) * step)) for item, count in zip(fats, counts, strict=True)
    )
