"""A recipe in hand for another batch: everything goes with the fats, and the alkali is worked out again from their new grams."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import NamedTuple

from optimiser.materials import alkali
from optimiser.problem.batch import Batch
from optimiser.problem.goals import extra_named
from optimiser.problem.recipe import RecipeSheet, Weighed
from optimiser.problem.shelf import Shelf
from optimiser.problem.units import Units
from optimiser.recipe.balance import FINE, down, near, steps, up, written_whole
from optimiser.recipe.batch_size import compared, rounded
from optimiser.recipe.completion import complete
from optimiser.recipe.evaluation import Recipe, acid_mol, fat_demand, judge
from optimiser.recipe.weights import step_told

COARSEST = 5.0  # steps of the balance that the alkali must at least come to
ROUNDS = 3
PART, MOST_TRIED = (
    0.05,
    10,
)  # of a batch: how far another size may lie off; steps of the balance that are tried either way
BLUR = 0.02  # per cent of superfat
FELT = 0.5  # per cent of the alkali: a step of the balance that is more shows in the superfat


class TooSmall(Exception):
    """The alkali of the new batch is less than a few steps of the balance: those steps and the alkali, in grams."""

    def __init__(self, step: float, grams: float, units: Units) -> None:
        super().__init__(f"a balance that reads {step_told(units, step)} cannot weigh out {grams:.3g} g of alkali")


class Resized(NamedTuple):
    """The recipe before and after, so many times as large, and the sheet that the new one answers to."""

    before: Recipe
    after: Recipe
    sheet: RecipeSheet
    times: float


def resized(sheet: RecipeSheet, shelf: Shelf | None, batch: Batch) -> Resized:
    """A recipe for another batch.

    Alkali that the recipe leaves open is worked out from the new fats for the superfat asked. Alkali that it gives in grams
    goes with what the new fats take, beside what acids take, so that the superfat is the same, and then down to a step
    of the balance: no superfat falls.

    Raises:
        TooSmall: the balance cannot weigh the alkali of so small a batch.
    """
    before = complete(sheet, shelf)
    made, wanted = compared(before, batch)
    times = wanted / made
    coarse, fine = steps(Batch(scale_g=sheet.scale_g, units=sheet.units), times * before.fat_grams)
    scaled = scaled_to(sheet, before, shelf, times, (coarse, fine))._replace(
        bars=batch.bars or batch.cavities,
        cured_weight_kg=batch.cured_weight_kg if batch.bars else bar_of(sheet, before),
        mould=batch.mould,
    )
    if sheet.alkali:
        scaled = scaled._replace(alkali=tuple(item._replace(grams=times * item.grams) for item in scaled.alkali))
        for _ in range(
            ROUNDS if sheet.liquids else 1
        ):  # what stands for water goes with the alkali, and its acid takes some
            scaled = scaled._replace(alkali=alkali_again(before, complete(scaled, shelf), scaled, fine))
            if not scaled.alkali:  # left open it would be worked out for another superfat
                raise TooSmall(fine, times * (before.sodium_hydroxide + before.potassium_hydroxide), sheet.units)
    after = complete(scaled, shelf)._replace(fat_step=coarse, alkali_step=fine)
    weighed = after.sodium_hydroxide + after.potassium_hydroxide
    if weighed < COARSEST * fine:
        raise TooSmall(fine, weighed, sheet.units)
    return Resized(before, after, scaled, times)


def size_that_keeps(sheet: RecipeSheet, shelf: Shelf | None, found: Resized) -> Recipe | None:
    """The recipe for nearly as much, within a twentieth, whose alkali comes closest below whole steps: nearest in size, less first.

    None where the size asked for keeps the superfat too, to within what a balance blurs, or where none near it does.
    """
    superfat, wanted, coarse = judge(found.before).superfat, found.after.fat_grams, found.after.fat_step
    if not coarse or is_kept(found.after, superfat):
        return None
    for count in range(1, min(MOST_TRIED, int(PART * wanted / coarse)) + 1):
        for grams in (wanted - count * coarse, wanted + count * coarse):
            try:
                other = resized(sheet, shelf, Batch(fats_kg=grams / 1000.0)).after
            except TooSmall:
                continue
            if is_kept(other, superfat):
                return other
    return None


def is_kept(recipe: Recipe, superfat: float) -> bool:
    """Whether a superfat is no more above another than alkali rounded down on an ordinary balance puts it."""
    alkali = recipe.sodium_hydroxide + recipe.potassium_hydroxide
    return bool(alkali) and judge(recipe).superfat <= superfat + 100.0 * FINE / alkali + BLUR


def bar_of(sheet: RecipeSheet, recipe: Recipe) -> float:
    """What one bar weighs, in kg: as told, or by how many the recipe makes."""
    if not sheet.bars:
        return sheet.cured_weight_kg
    from optimiser.recipe.batch_size import pure_alkali
    from optimiser.recipe.evaluation import cured_grams

    return cured_grams(recipe, pure_alkali(recipe)) / 1000.0 / sheet.bars


def scaled_to(
    sheet: RecipeSheet, before: Recipe, shelf: Shelf | None, times: float, balance: tuple[float, float]
) -> RecipeSheet:
    """Fats, additives, liquids and water so many times as much, each on its step: acids up, the rest to the nearest."""
    coarse, fine = balance
    own = {} if shelf is None else {name: item.additive for name, item in shelf.extras.items()}

    def measured(name: str, grams: float) -> float:
        acid = extra_named(name, own).alkali_mol_per_kg > 0
        return max(fine, up(grams, fine) if acid else near(grams, fine))

    told = {item.name: item for item in sheet.additives}
    fats = tuple(
        Weighed(fat.name, times * grams, item.span) for (fat, grams), item in zip(before.fats, sheet.fats, strict=True)
    )
    return sheet._replace(
        fats=rounded(fats, coarse, fine),
        additives=tuple(
            told[item.name]._replace(grams=written_whole(measured(item.name, times * grams)), by_share=False)
            for item, grams in before.solids
            if item.name in told
        ),
        liquids=tuple(
            item if item.grams is None else item._replace(grams=written_whole(measured(item.name, times * item.grams)))
            for item in sheet.liquids
        ),
        water_g=None if sheet.water_g is None else near(times * sheet.water_g, fine),
        to_make=None,
    )


def alkali_again(before: Recipe, after: Recipe, sheet: RecipeSheet, step: float) -> tuple[Weighed, ...]:
    """The alkalis that were given in grams, for the new fats at the same superfat and the same proportion, rounded down."""
    demand, present = fat_demand(before), alkali.alkali_mol(*pure_of(before))
    part = fat_demand(after) / demand if demand > 0.0 else after.fat_grams / before.fat_grams
    wanted = acid_mol(after) + (present - acid_mol(before)) * part
    held = {"sodium hydroxide": before.sodium_hydroxide, "potassium hydroxide": before.potassium_hydroxide}
    factor = max(0.0, wanted / present) if present else 0.0
    return tuple(
        item._replace(grams=down(held[item.name] * factor, step), in_ounces="")
        for item in sheet.alkali
        if down(held[item.name] * factor, step) > 0.0
    )


def pure_of(recipe: Recipe) -> tuple[float, float]:
    """Grams of sodium and potassium hydroxide without their impurities."""
    return (
        recipe.sodium_hydroxide * recipe.sodium_purity,
        recipe.potassium_hydroxide * recipe.potassium_purity,
    )


def roughness(recipe: Recipe) -> float:
    """What a step of the balance is of the alkali, in per cent."""
    weighed = [grams for grams in (recipe.sodium_hydroxide, recipe.potassium_hydroxide) if grams > 0.0]
    return 100.0 * len(weighed) * recipe.alkali_step / math.fsum(weighed) if weighed else 0.0


def on_roughness(recipe: Recipe) -> Iterator[str]:
    """What must be said where a step of the balance shows in the superfat."""
    rough = roughness(recipe)
    if rough > FELT:
        yield (
            f"So small a batch asks for a finer balance: one step of it is {rough:.1f} % of the alkali, and about as many "
            "points of superfat. What clings to a jug counts too."
        )
