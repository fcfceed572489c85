"""A recipe in hand made whole: the alkali and water that it leaves to be worked out."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import NamedTuple

from optimiser.materials import alkali
from optimiser.materials.additives import Additive
from optimiser.materials.fat import Fat
from optimiser.materials.fat_table import reference
from optimiser.problem.batch import Batch
from optimiser.problem.goals import extra_named
from optimiser.problem.lots import whichever
from optimiser.problem.money import Prices
from optimiser.problem.recipe import RecipeSheet, Weighed
from optimiser.problem.shelf import Shelf
from optimiser.recipe.balance import down, near, step_in_hand, steps, up, written_whole
from optimiser.recipe.batch_size import sized
from optimiser.recipe.evaluation import Recipe, fat_demand, total_water

A_MILLIGRAM = 0.0011  # g, and what binary fractions add: two steps that differ by less are one
ROUNDS = 6  # each brings alkali and liquid nearer to each other by a hundredfold and more
DEFAULT_LYE = 33.0  # %, where a recipe gives no water


def complete(sheet: RecipeSheet, shelf: Shelf | None) -> Recipe:
    """The recipe in grams, with the alkali and water worked out where the file leaves them open.

    What the file gives stays as it is, to the milligram, but for alkali in ounces or pounds: like all that is worked out it
    is rounded for a balance, alkali down.
    """
    told = [item for item in sheet.fats if item.in_ounces]
    if sheet.to_make is not None:
        sheet = in_grams(sheet, shelf)
        told = list(sheet.fats)
    own = {} if shelf is None else {name: item.additive for name, item in shelf.extras.items()}
    imperial = not sheet.units.is_metric
    coarse = 0.0
    if imperial:
        coarse = fat_step_for(sheet, told)
        sheet = on_ounces(sheet, own, step_for(sheet, math.fsum(item.grams for item in sheet.fats)), coarse)
    fats = tuple((fat_named(item.name, shelf), written_whole(item.grams)) for item in sheet.fats)
    additives = tuple((extra_named(item.name, own), written_whole(item.grams)) for item in sheet.additives)
    poured = tuple(PouredIn(extra_named(item.name, own), item.grams, item.share) for item in sheet.liquids)
    step = step_for(sheet, math.fsum(grams for _, grams in fats))
    given = {item.name: on_balance(item, step) for item in sheet.alkali}
    all_rounded = bool(given) and all(item.in_ounces for item in sheet.alkali)
    sodium_purity, potassium_purity = shelf.purities if shelf is not None else (1.0, 1.0)
    sodium_purest, potassium_purest = shelf.purest if shelf is not None else (1.0, 1.0)
    bare = Recipe(
        fats=fats,
        sodium_hydroxide=given.get("sodium hydroxide", 0.0),
        potassium_hydroxide=given.get("potassium hydroxide", 0.0),
        water=written_whole(sheet.water_g or 0.0),
        additives=additives,
        sodium_purity=sodium_purity,
        potassium_purity=potassium_purity,
        batter_temperature=sheet.batter_temperature,
        gel=sheet.gel,
        cured_water=sheet.cured_water,
        cure_weeks=sheet.cure_weeks,
        sodium_purest=sodium_purest,
        potassium_purest=potassium_purest,
        alkali_step=step if all_rounded or imperial else 0.0,
        fat_step=coarse,
        units=sheet.units,
    )
    charged = filled(bare, sheet, poured, given=bool(given))
    for _ in range(ROUNDS if poured and not given else 0):  # the acid of a liquid takes alkali, and that asks for water
        charged = filled(charged, sheet, poured, given=False)
    return charged


def on_ounces(sheet: RecipeSheet, own: Mapping[str, Additive], step: float, coarse: float) -> RecipeSheet:
    """A recipe on the steps of a balance that reads ounces or pounds: alkali down, acids up, all else to the nearest.

    What is judged is then what is told; for a balance in grams all stays as its maker gave it.
    """

    def stepped(name: str, grams: float) -> float:
        acid = extra_named(name, own).alkali_mol_per_kg > 0
        return max(written_whole(step), up(grams, step) if acid else near(grams, step))

    return sheet._replace(
        fats=tuple(item._replace(grams=max(written_whole(coarse), near(item.grams, coarse))) for item in sheet.fats),
        additives=tuple(item._replace(grams=stepped(item.name, item.grams)) for item in sheet.additives),
        liquids=tuple(
            item if item.grams is None else item._replace(grams=stepped(item.name, item.grams))
            for item in sheet.liquids
        ),
        alkali=tuple(item._replace(grams=down(item.grams, step), in_ounces="") for item in sheet.alkali),
        water_g=None if sheet.water_g is None else near(sheet.water_g, step),
    )


def fat_step_for(sheet: RecipeSheet, told: Sequence[Weighed]) -> float:
    """The step for fats: that of a blend of so much, or the finer one for alkali where fats are `told` by steps of that."""
    total = math.fsum(item.grams for item in sheet.fats)
    coarse, _ = steps(Batch(scale_g=sheet.scale_g, units=sheet.units), total)
    is_finer = any(abs(near(item.grams, coarse) - item.grams) > A_MILLIGRAM for item in told)
    return step_for(sheet, total) if is_finer else coarse


def step_for(sheet: RecipeSheet, fat_grams: float) -> float:
    """The step to which so large a batch is worked out."""
    return step_in_hand(fat_grams, sheet.units, sheet.scale_g)


def in_grams(sheet: RecipeSheet, shelf: Shelf | None) -> RecipeSheet:
    """A recipe whose fats are told in per cent in the grams of its batch; any other as it is."""
    return sheet if sheet.to_make is None else sized(sheet, lambda one: complete(one, shelf))


def on_balance(item: Weighed, step: float) -> float:
    """Grams of an alkali that is given; what is told in ounces or pounds is no round figure in grams, and goes down to one."""
    return down(item.grams, step) if item.in_ounces else written_whole(item.grams)


class PouredIn(NamedTuple):
    """A liquid with its grams, or its share in per cent of all that stands in water's place."""

    liquid: Additive
    grams: float | None
    share: float | None


def filled(recipe: Recipe, sheet: RecipeSheet, poured: Sequence[PouredIn], *, given: bool) -> Recipe:
    """The alkali, unless it is given, and then the jug for it."""
    charged = recipe if given else with_alkali(recipe, sheet)
    dry = charged._replace(water=0.0, additives=charged.solids)
    jug, step = jug_of(sheet, dry, poured), step_for(sheet, recipe.fat_grams)
    liquids = tuple(
        (item.liquid, near(item.share / 100.0 * jug, step) if item.share is not None else item.grams or 0.0)
        for item in poured
    )
    wet = dry._replace(additives=(*charged.solids, *liquids))
    if sheet.water_g is None:
        return with_water(wet, sheet)
    shared = math.fsum(grams for (_, grams), item in zip(liquids, poured, strict=True) if item.share is not None)
    return wet._replace(water=max(0.0, round(sheet.water_g - shared, 9)))


def jug_of(sheet: RecipeSheet, dry: Recipe, poured: Sequence[PouredIn]) -> float:
    """Grams of all that is weighed in water's place: plain water and liquids.

    Of a water that is given, liquids told by their share take their share, and those told by mass come beside it. Else
    the jug J is what makes the water of the lye W with what comes along with the rest: J (1 - sum p (1 - w)) =
    W - rest + sum m (1 - w), where w is a liquid's part of water, p its share and m its mass.
    """
    by_mass = [(item.liquid, item.grams) for item in poured if item.grams is not None]
    if sheet.water_g is not None:
        return sheet.water_g + math.fsum(grams for _, grams in by_mass)
    rest = asked_water(dry, sheet) - total_water(dry)
    dry_by_mass = math.fsum((1.0 - liquid.water_fraction) * grams for liquid, grams in by_mass)
    dry_share = math.fsum((item.share or 0.0) / 100.0 * (1.0 - item.liquid.water_fraction) for item in poured)
    return max(0.0, rest + dry_by_mass) / (1.0 - dry_share)


def with_alkali(recipe: Recipe, sheet: RecipeSheet) -> Recipe:
    """The alkali for the superfat that the file asks for, rounded down for the balance."""
    step = step_for(sheet, recipe.fat_grams)
    acid = sum(item.alkali_mol_per_kg * grams / 1000.0 for item, grams in recipe.additives)
    need = alkali.alkali_needed(
        fat_demand(recipe),
        superfat=(sheet.superfat or 0.0) / 100.0,
        potassium_share=sheet.potassium_share / 100.0,
        acid_mol=acid,
    )
    return recipe._replace(
        sodium_hydroxide=down(alkali.weighed(need.sodium_hydroxide, recipe.sodium_purity), step),
        potassium_hydroxide=down(alkali.weighed(need.potassium_hydroxide, recipe.potassium_purity), step),
        alkali_step=step,
    )


def with_water(recipe: Recipe, sheet: RecipeSheet) -> Recipe:
    """The water for the lye concentration that the file asks for, less what comes along with the rest."""
    water = asked_water(recipe, sheet) - total_water(recipe)
    return recipe._replace(water=max(0.0, near(water, step_for(sheet, recipe.fat_grams))))


def asked_water(recipe: Recipe, sheet: RecipeSheet) -> float:
    """All the water that makes a lye of the concentration that the file asks for, in grams."""
    share = (DEFAULT_LYE if sheet.lye_concentration is None else sheet.lye_concentration) / 100.0
    pure = recipe.sodium_hydroxide * recipe.sodium_purity + recipe.potassium_hydroxide * recipe.potassium_purity
    return pure * (1.0 - share) / share


def fat_named(name: str, shelf: Shelf | None) -> Fat:
    """A fat as the shelf has it (its certificate, its own name), or else as the reference table does.

    Of one that the shelf has in several lots, none of them named, with the lowest value among them: the safe side.
    """
    if shelf is not None:
        for item in shelf.fats:
            if item.fat.name == name:
                return item.fat
        for item in shelf.to_buy:
            if item.fat.name == name:
                return item.fat
        if lots := shelf.of_fat(name):
            return whichever(lots).fat if lots[0].fat.lot_of else lots[0].fat
    return reference().get(name)


def prices_for(recipe: Recipe, shelf: Shelf | None) -> Prices | None:
    """The shelf's prices, if it has one for every fat of the recipe."""
    if shelf is None:
        return None
    prices = shelf.prices
    return prices if all(fat.name in prices.fats for fat, _ in recipe.fats) else None
