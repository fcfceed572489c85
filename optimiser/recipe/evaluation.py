"""A recipe in grams, and a judge of it that knows nothing of rows, matrices or solvers.

The same judge weighs a recipe that somebody brings along and one that the optimiser has just worked out, so that the
second cannot be right by its own lights only.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import NamedTuple

from optimiser.materials import alkali, lye
from optimiser.materials.additives import Additive
from optimiser.materials.fat import Fat
from optimiser.materials.lye import lye_density
from optimiser.materials.lye_heat import MadeAtOnce, made_at_once, neutralisation_heat
from optimiser.measures.cure import USUAL_CURE
from optimiser.problem.lots import by_known_name
from optimiser.problem.money import Prices
from optimiser.problem.units import Units
from optimiser.recipe.bar_values import blend_values


class Recipe(NamedTuple):
    """What is weighed, in grams. Alkalis and water as they go on the balance; purity as a fraction.

    `purest` is how pure an alkali may be at the most; below its purity it says nothing.
    `fat_step` and `alkali_step` (water and additives too) are the steps of the balance that it was rounded to; 0 where
    grams are as their maker gave them, or exact.
    `units` are those that the balance is read in, and weights are told in; they are held in grams all the same.
    `additives` holds the liquids that stand for water too; `water` is plain.
    """

    fats: tuple[tuple[Fat, float], ...]
    sodium_hydroxide: float
    potassium_hydroxide: float
    water: float
    additives: tuple[tuple[Additive, float], ...] = ()
    sodium_purity: float = 1.0
    potassium_purity: float = 1.0
    batter_temperature: float = 35.0
    gel: bool = False
    cured_water: float = 0.10
    sodium_purest: float = 0.0
    potassium_purest: float = 0.0
    fat_step: float = 0.0
    alkali_step: float = 0.0
    cure_weeks: float = USUAL_CURE
    units: Units = Units.GRAMS

    @property
    def fat_grams(self) -> float:
        """All fats together."""
        return math.fsum(grams for _, grams in self.fats)

    @property
    def liquids(self) -> tuple[tuple[Additive, float], ...]:
        """What stands for water, with its grams."""
        return tuple((item, grams) for item, grams in self.additives if item.is_liquid)

    @property
    def solids(self) -> tuple[tuple[Additive, float], ...]:
        """The additives that are no such liquids, with their grams."""
        return tuple((item, grams) for item, grams in self.additives if not item.is_liquid)

    @property
    def jug(self) -> float:
        """All that is weighed in water's place: plain water and liquids."""
        return self.water + math.fsum(grams for _, grams in self.liquids)


class Judgement(NamedTuple):
    """What a recipe is: alkali, water, every measure and batch figure, and its cost when prices are known.

    Superfats and concentrations in per cent; masses in grams; `values` by quantity; temperatures in degC. The lye
    concentration counts all water; `lye_as_mixed` only what the alkali is dissolved in, since some solutions (a lactate)
    go in later: volume, density and temperature are of the lye as mixed. `lye_temperature` is what it would reach, made
    at once from 20 degC with no heat lost: low and high estimate, and no more than `lye_boiling_point`.
    """

    shares: Mapping[str, float]
    pure_sodium_hydroxide: float
    pure_potassium_hydroxide: float
    superfat: float
    superfat_likely_low: float
    superfat_worst_case: float
    total_water: float
    lye_concentration: float
    water_to_alkali: float
    water_share_of_fats: float
    lye_as_mixed: float
    lye_volume_ml: float
    lye_density: float
    lye_temperature: tuple[float, float]
    batter_grams: float
    cured_grams: float
    values: Mapping[str, float]
    money: float | None
    cost_per_kg: float | None
    lye_boiling_point: float = math.nan

    @property
    def lye_boils(self) -> bool:
        """Whether the lye made at once would come to the boil, by the high estimate."""
        return self.lye_temperature[1] >= self.lye_boiling_point


def judge(recipe: Recipe, prices: Prices | None = None) -> Judgement:
    """Everything that can be said of a recipe.

    Raises:
        ValueError: no fats, or no lye.
    """
    total = recipe.fat_grams / 1000.0
    if total <= 0:
        raise ValueError("a recipe without fats has no figures")
    sodium = recipe.sodium_hydroxide * recipe.sodium_purity
    potassium = recipe.potassium_hydroxide * recipe.potassium_purity
    water = total_water(recipe)
    demand = fat_demand(recipe)
    acid = acid_mol(recipe)
    present = alkali.alkali_mol(sodium, potassium)
    cured = cured_grams(recipe, sodium + potassium)
    money = spent(recipe, prices) if prices is not None else None
    unreacted = (demand - present + acid) / total
    batch = {
        "superfat": superfat_of(demand, present, acid),
        "likely_superfat": superfat_of(demand, present + likely_shortfall(recipe), acid),
        "worst_case_superfat": worst_case_superfat(recipe),
        "lye_concentration": 100.0 * lye.lye_concentration(sodium + potassium, water),
        "water_to_alkali": water / (sodium + potassium) if sodium + potassium else math.inf,
        "water_share_of_fats": water / total / 10.0,
        "potassium_share": 100.0 * alkali.alkali_mol(0.0, potassium) / present if present else 0.0,
    }
    if money is not None:
        batch["cost"] = money / cured * 1000.0
    mixing = water - math.fsum(item.water_fraction * grams for item, grams in late(recipe))
    density = density_of_lye(sodium, potassium, mixing)
    heat = lye_heat(recipe, sodium, potassium, mixing)
    return Judgement(
        shares=by_known_name((fat, 100.0 * grams / recipe.fat_grams) for fat, grams in recipe.fats),
        pure_sodium_hydroxide=sodium,
        pure_potassium_hydroxide=potassium,
        superfat=batch["superfat"],
        superfat_likely_low=batch["likely_superfat"],
        superfat_worst_case=min(batch["worst_case_superfat"], batch["likely_superfat"]),
        total_water=water,
        lye_concentration=batch["lye_concentration"],
        water_to_alkali=batch["water_to_alkali"],
        water_share_of_fats=batch["water_share_of_fats"],
        lye_as_mixed=100.0 * lye.lye_concentration(sodium + potassium, mixing),
        lye_volume_ml=(sodium + potassium + mixing) / density if density else math.nan,
        lye_density=density,
        lye_temperature=(heat.low, heat.high),
        batter_grams=batter_grams(recipe),
        cured_grams=cured,
        values=batch
        | blend_values(
            recipe,
            unreacted + liquid_fat(recipe) / total,
            water / 1000.0 / total,
            alkali.alkali_mol(0.0, potassium) / total,
        ),
        money=money,
        cost_per_kg=batch.get("cost"),
        lye_boiling_point=heat.boiling_point,
    )


def superfat_of(demand: float, present: float, acid: float) -> float:
    """Superfat in per cent; a charge that may take no alkali at all (lanolin, at its lowest) has all of it left: -100."""
    return 100.0 * alkali.superfat_left(demand, present, acid) if demand > 0.0 else -100.0


def fat_demand(recipe: Recipe) -> float:
    """Moles of alkali that the fats take at their working values."""
    return math.fsum(alkali.demand(fat.saponification.value) * grams / 1000.0 for fat, grams in recipe.fats)


def acid_mol(recipe: Recipe) -> float:
    """Moles of alkali that acids take."""
    return math.fsum(item.alkali_mol_per_kg * grams / 1000.0 for item, grams in recipe.additives)


def at_purest(recipe: Recipe) -> tuple[float, float]:
    """Moles of sodium and of potassium hydroxide, if each is as pure as it may be."""
    return (
        alkali.alkali_mol(recipe.sodium_hydroxide * max(recipe.sodium_purity, recipe.sodium_purest), 0.0),
        alkali.alkali_mol(0.0, recipe.potassium_hydroxide * max(recipe.potassium_purity, recipe.potassium_purest)),
    )


def worst_case_superfat(recipe: Recipe) -> float:
    """Superfat in per cent with every fat at its low end, the alkali at its purest and acids at their weakest, at once."""
    least = math.fsum(alkali.demand(fat.saponification.low) * grams / 1000.0 for fat, grams in recipe.fats)
    weakest = math.fsum(item.alkali_low_mol_per_kg * grams / 1000.0 for item, grams in recipe.additives)
    return superfat_of(least, sum(at_purest(recipe)), weakest)


def likely_shortfall(recipe: Recipe) -> float:
    """Moles by which what is left unreacted falls short at most, in about 95 of 100 batches of ordinary lots by our reckoning.

    Each fat may take less alkali than worked out by its lots' own spread, fats of one base all together, a certified one
    of several lots by itself; each alkali may be purer and each acid weaker. These groups stray on their own, so they add as the root of the sum of squares.
    """
    strays: dict[str, float] = {}
    for fat, grams in recipe.fats:
        strays[fat.strays_with] = strays.get(fat.strays_with, 0.0) + alkali.demand(fat.spread) * grams / 1000.0
    sodium, potassium = at_purest(recipe)
    told = (recipe.sodium_hydroxide * recipe.sodium_purity, recipe.potassium_hydroxide * recipe.potassium_purity)
    purer = (sodium - alkali.alkali_mol(told[0], 0.0), potassium - alkali.alkali_mol(0.0, told[1]))
    weaker = [
        (item.alkali_mol_per_kg - item.alkali_low_mol_per_kg) * grams / 1000.0 for item, grams in recipe.additives
    ]
    return math.hypot(*strays.values(), *(max(0.0, moles) for moles in (*purer, *weaker)))


def total_water(recipe: Recipe) -> float:
    """Water weighed and water that potassium hydroxide and solutions bring, in grams."""
    brought = recipe.potassium_hydroxide * (1.0 - recipe.potassium_purity)
    return recipe.water + brought + math.fsum(item.water_fraction * grams for item, grams in recipe.additives)


def liquid_fat(recipe: Recipe) -> float:
    """Moles of alkali that the fat of the liquids could take at its lowest; none is reckoned for it."""
    return math.fsum(item.fat_mol_per_kg * grams / 1000.0 for item, grams in recipe.additives)


def superfat_with_liquids(recipe: Recipe, judged: Judgement) -> float:
    """Per cent of all fat, that of the liquids with it, that is left unreacted."""
    fats, more = fat_demand(recipe), liquid_fat(recipe)
    return 100.0 * (judged.superfat / 100.0 * fats + more) / (fats + more) if fats + more else 0.0


def late(recipe: Recipe) -> tuple[tuple[Additive, float], ...]:
    """What brings its water only once the alkali is dissolved.

    A liquid that had better not meet the bare alkali (milk) waits for trace where the rest of the jug holds water enough
    to dissolve it: as much as there is alkali. Where it does not, the alkali goes into the frozen liquid.
    """
    always = tuple((item, grams) for item, grams in recipe.additives if not item.dissolves_alkali)
    split = tuple((item, grams) for item, grams in recipe.additives if item.goes_in == "split")
    pure = recipe.sodium_hydroxide * recipe.sodium_purity + recipe.potassium_hydroxide * recipe.potassium_purity
    without = total_water(recipe) - math.fsum(item.water_fraction * grams for item, grams in (*always, *split))
    return (*always, *split) if without >= pure * (1.0 - DISSOLVES) else always


DISSOLVES = 1e-6  # relative: as much water as alkali dissolves it, to within what binary fractions add


def cured_grams(recipe: Recipe, pure_alkali: float) -> float:
    """Weight of all bars once cured: fats, alkali and dry additives, with the stated share of water in them."""
    dry = recipe.fat_grams + pure_alkali + math.fsum(item.dry_fraction * grams for item, grams in recipe.additives)
    return dry / (1.0 - recipe.cured_water)


def batter_grams(recipe: Recipe) -> float:
    """All that goes into the pot."""
    lye = recipe.sodium_hydroxide + recipe.potassium_hydroxide + recipe.water
    return recipe.fat_grams + lye + math.fsum(grams for _, grams in recipe.additives)


def spent(recipe: Recipe, prices: Prices) -> float:
    """Money for the whole batch."""
    fats = math.fsum(prices.fats.get(fat.name, 0.0) * grams for fat, grams in recipe.fats)
    extra = math.fsum(prices.additives.get(item.name, 0.0) * grams for item, grams in recipe.additives)
    alkali = prices.sodium_hydroxide * recipe.sodium_hydroxide + prices.potassium_hydroxide * recipe.potassium_hydroxide
    return (fats + extra + alkali) / 1000.0


JUG = ("water", "hot lye", "lye")  # places of additives whose heat with the alkali the lye jug takes


def density_of_lye(sodium: float, potassium: float, water: float) -> float:
    """Density of the lye in g/mL at 20 degC, or nan where no table reaches."""
    try:
        return lye_density(sodium_g=sodium, potassium_g=potassium, water_g=water, temperature=20.0) / 1000.0
    except ValueError:
        return math.nan


def lye_heat(recipe: Recipe, sodium: float, potassium: float, water: float) -> MadeAtOnce:
    """What the lye would reach from 20 degC with no heat lost, acids in it among it; nan where no table reaches."""
    try:
        return made_at_once(sodium_g=sodium, potassium_g=potassium, water_g=water, acid_kj=acid_heat(recipe))
    except ValueError:
        return MadeAtOnce(math.nan, math.nan, math.nan)


def acid_heat(recipe: Recipe) -> float:
    """Heat that the acids in water and lye give off with the alkali, kJ; no more of them than there is alkali for."""
    taken = [
        (item.alkali_mol_per_kg * grams / 1000.0, neutralisation_heat(item.name))
        for item, grams in recipe.additives
        if item.goes_in in JUG and item.alkali_mol_per_kg > 0
    ]
    acid = math.fsum(moles for moles, _ in taken)
    sodium, potassium = (
        recipe.sodium_hydroxide * recipe.sodium_purity,
        recipe.potassium_hydroxide * recipe.potassium_purity,
    )
    part = min(1.0, alkali.alkali_mol(sodium, potassium) / acid) if acid else 0.0
    return part * math.fsum(moles * heat for moles, heat in taken)
