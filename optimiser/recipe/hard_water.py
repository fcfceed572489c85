"""Hard water: how much of this very bar it eats before any lather stands, and how far a chelant eases that.

2 RCOONa + Ca2+ -> (RCOO)2Ca + 2 Na+ : each calcium (and magnesium) takes two soaps. Hardness counts all of it as calcium
carbonate. Citrate and EDTA bind one calcium each; citric acid does so once it is citrate, for which it takes three
alkalis. Plain stoichiometry: how the scum looks and rinses is not in it.
"""

from __future__ import annotations

import math
from typing import NamedTuple

from optimiser.materials.additives import additives
from optimiser.materials.alkali import demand
from optimiser.materials.fat import Fat
from optimiser.materials.fatty_acids import acid
from optimiser.materials.lye import NAOH
from optimiser.maths.units import CALCIUM_CARBONATE
from optimiser.recipe.evaluation import Judgement, Recipe
from optimiser.recipe.kinds import is_paste
from optimiser.reference import rows

SODIUM, POTASSIUM, CALCIUM, HYDROGEN = 22.990, 39.098, 40.078, 1.008  # g/mol, IUPAC 2021 abridged atomic weights
CHELANTS = ("sodium citrate", "citric acid", "citric acid monohydrate", "tetrasodium edta", "disodium edta")
OFFERED = (("sodium citrate", 2.0), ("citric acid", 1.0))  # per cent of the fats that advice speaks of
CLASSES = ((60.0, "soft"), (120.0, "moderately hard"), (180.0, "hard"))  # mg/L as CaCO3, as water is commonly classed


class Chelant(NamedTuple):
    """A chelant at a share of the fats: grams for the batch, sodium hydroxide (pure, g) that it takes, soap it spares in %."""

    name: str
    share: float
    grams: float
    alkali_g: float
    spares: float


class HardWater(NamedTuple):
    """What a litre of wash water does to the soap.

    `hardness` in mg/L as CaCO3, `word` its class. Grams per litre: `soap_lost` (dry soap without a chelant),
    `calcium_soap` that comes of it, `bar_lost` (cured bar, or paste as it is in the jar, with whatever chelant the recipe holds). `spared` is the
    share in per cent that the recipe's own chelants save; `offers` are others that it could hold.
    """

    hardness: float
    word: str
    soap_lost: float
    calcium_soap: float
    bar_lost: float
    spared: float
    offers: tuple[Chelant, ...]
    status: str = "computed: two soaps to one calcium"
    of_paste: bool = False


def hard_water(recipe: Recipe, judged: Judgement, hardness: float) -> HardWater:
    """What water of a hardness (mg/L as CaCO3) takes of a bar."""
    calcium = hardness / 1000.0 / CALCIUM_CARBONATE  # mol in a litre
    molar = soap_molar_mass(recipe, judged.values["potassium_share"] / 100.0)
    pairs = soap_mol(recipe, judged) / 2.0  # mol of calcium that all the soap of the batch takes
    bound = math.fsum(binding(item.base) * grams / 1000.0 for item, grams in recipe.additives)
    metal = SODIUM + (POTASSIUM - SODIUM) * judged.values["potassium_share"] / 100.0
    return HardWater(
        hardness=hardness,
        word=word_for(hardness),
        soap_lost=2.0 * calcium * molar,
        calcium_soap=calcium * (2.0 * (molar - metal) + CALCIUM),
        bar_lost=(judged.batter_grams if is_paste(recipe, judged.values) else judged.cured_grams)
        * calcium
        / (pairs + bound),
        spared=100.0 * bound / (pairs + bound),
        of_paste=is_paste(recipe, judged.values),
        offers=tuple(offer for name, share in OFFERED if (offer := offered(name, share, recipe, pairs)) is not None),
    )


def word_for(hardness: float) -> str:
    """The class of a hardness in mg/L as CaCO3."""
    return next((word for end, word in CLASSES if hardness <= end), "very hard")


def soap_mol(recipe: Recipe, judged: Judgement) -> float:
    """Moles of soap in the batch: what the fats take of alkali, less what is left free; never more than the fats can give."""
    moles = math.fsum(demand(fat.saponification.value) * grams / 1000.0 for fat, grams in recipe.fats)
    return moles * min(1.0, 1.0 - judged.superfat / 100.0)


def soap_molar_mass(recipe: Recipe, potassium: float = 0.0) -> float:
    """Mean molar mass (g/mol) of the soaps of a blend, by moles; `potassium` is the molar share of potassium soap."""
    moles = [demand(fat.saponification.value) * grams for fat, grams in recipe.fats]
    acids = math.fsum(n * acid_molar_mass(fat) for n, (fat, _) in zip(moles, recipe.fats, strict=True))
    return acids / math.fsum(moles) - HYDROGEN + SODIUM + (POTASSIUM - SODIUM) * potassium


def acid_molar_mass(fat: Fat) -> float:
    """Mean molar mass (g/mol) of the fatty acids of a fat, by moles, from their shares by mass."""
    total = math.fsum(fat.acids.values())
    return total / math.fsum(share / acid(name).molar_mass for name, share in fat.acids.items())


def binding(name: str) -> float:
    """Moles of calcium that a kilogram of an additive binds; 0 for all that is no chelant."""
    if name not in CHELANTS:
        return 0.0
    row = next(row for row in rows("additives") if row["additive"] == name)
    return 1000.0 / float(row["molar_mass"])


def offered(name: str, share: float, recipe: Recipe, pairs: float) -> Chelant | None:
    """A chelant that could be added; None where the recipe holds it already."""
    if any(item.base == name for item, _ in recipe.additives):
        return None
    grams = share / 100.0 * recipe.fat_grams
    bound = binding(name) * grams / 1000.0
    alkali = additives()[name].alkali_mol_per_kg * grams / 1000.0 * NAOH
    return Chelant(name, share, grams, alkali, 100.0 * bound / (pairs + bound))
