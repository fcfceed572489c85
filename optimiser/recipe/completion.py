"""A recipe in hand made whole: the alkali and water that it leaves to be worked out."""

from __future__ import annotations

from optimiser.materials import alkali
from optimiser.materials.additives import find as find_additive
from optimiser.materials.fat import Fat
from optimiser.materials.fat_table import reference
from optimiser.problem.money import Prices
from optimiser.problem.recipe import RecipeSheet
from optimiser.problem.shelf import Shelf
from optimiser.recipe.balance import down, near, step_in_hand, written_whole
from optimiser.recipe.evaluation import Recipe, fat_demand, total_water

DEFAULT_LYE = 33.0  # %, where a recipe gives no water


def complete(sheet: RecipeSheet, shelf: Shelf | None) -> Recipe:
    """The recipe in grams, with the alkali and water worked out where the file leaves them open.

    What the file gives stays as it is, to the milligram; what is worked out is rounded for a balance, alkali down.
    """
    fats = tuple((fat_named(item.name, shelf), written_whole(item.grams)) for item in sheet.fats)
    additives = tuple(
        (known, written_whole(item.grams))
        for item in sheet.additives
        if (known := find_additive(item.name)) is not None
    )
    given = {item.name: written_whole(item.grams) for item in sheet.alkali}
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
        sodium_purest=sodium_purest,
        potassium_purest=potassium_purest,
    )
    charged = bare if given else with_alkali(bare, sheet)
    return charged if sheet.water_g is not None else with_water(charged, sheet)


def with_alkali(recipe: Recipe, sheet: RecipeSheet) -> Recipe:
    """The alkali for the superfat that the file asks for, rounded down for the balance."""
    step = step_in_hand(recipe.fat_grams)
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
    share = (DEFAULT_LYE if sheet.lye_concentration is None else sheet.lye_concentration) / 100.0
    pure = recipe.sodium_hydroxide * recipe.sodium_purity + recipe.potassium_hydroxide * recipe.potassium_purity
    water = pure * (1.0 - share) / share - total_water(recipe)
    return recipe._replace(water=max(0.0, near(water, step_in_hand(recipe.fat_grams))))


def fat_named(name: str, shelf: Shelf | None) -> Fat:
    """A fat as the shelf has it (its certificate, its own name), or else as the reference table does."""
    if shelf is not None:
        for item in shelf.fats:
            if item.fat.name == name:
                return item.fat
    return reference().get(name)


def prices_for(recipe: Recipe, shelf: Shelf | None) -> Prices | None:
    """The shelf's prices, if it has one for every fat of the recipe."""
    if shelf is None:
        return None
    prices = shelf.prices
    return prices if all(fat.name in prices.fats for fat, _ in recipe.fats) else None
