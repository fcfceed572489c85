"""What a batch ends as: soaps, glycerin, salts, what is left over, and no gram too many."""

from __future__ import annotations

import math

import pytest
from hypothesis import assume, given, settings
from strategies import examples, recipe_at, recipes

from optimiser.materials.additives import additives
from optimiser.materials.composition import Figure
from optimiser.materials.fat import of_saponification_alone
from optimiser.materials.fat_table import reference
from optimiser.materials.liquids import liquids
from optimiser.recipe.evaluation import Recipe, cured_grams, judge, total_water
from optimiser.recipe.finished import finished

NAOH, KOH, WATER, GLYCEROL = 39.997, 56.106, 18.015, 92.094
"""Molar masses, g/mol: IUPAC 2021 abridged atomic weights, summed by hand."""


def pure(recipe: Recipe) -> float:
    """Grams of alkali without its impurities."""
    return recipe.sodium_hydroxide * recipe.sodium_purity + recipe.potassium_hydroxide * recipe.potassium_purity


def test_a_fat_of_no_other_matter_by_hand() -> None:
    """1000 g at 190 mg KOH/g with 95 % of its alkali: 3.2171 mol make 979.1 + 128.7 - 98.8 g of soap; 50 g stay as they were.

    Three moles of alkali set one of glycerol free; fat and alkali less glycerol is the soap (stoichiometry).
    """
    fat = of_saponification_alone("some fat", Figure(190.0, 188.0, 192.0))
    moles = 0.95 * 190.0 / 56.106
    end = finished(Recipe(((fat, 1000.0),), moles * NAOH, 0.0, 300.0))
    glycerin = moles * GLYCEROL / 3.0
    (_, ends), *_ = end.fats
    assert end.glycerin == pytest.approx(glycerin) == pytest.approx(98.76, abs=0.01)
    assert ends.sodium == pytest.approx(950.0 + moles * NAOH - glycerin)
    assert ends.potassium == 0.0
    assert ends.left == pytest.approx(50.0)
    assert end.sodium_hydroxide == end.potassium_hydroxide == 0.0


def test_unsaponifiable_matter_is_left() -> None:
    """Of shea butter with all its alkali what never makes soap is left, and nothing else."""
    shea = reference().get("shea butter")
    recipe = Recipe(((shea, 1000.0),), shea.saponification.value / 56.106 * NAOH, 0.0, 300.0)
    (_, ends), *_ = finished(recipe).fats
    assert shea.unsaponifiable.value > 10.0
    assert ends.left == pytest.approx(shea.unsaponifiable.value, rel=1e-6)


def test_free_acids_take_alkali_first_and_set_water_free() -> None:
    """Stearic acid is all stearate though the oil keeps its superfat: acid and alkali less a mole of water for each."""
    stearic, olive = reference().get("stearic acid"), reference().get("olive oil")
    of_acid = 100.0 * stearic.saponification.value / 56106.0
    of_oil = 900.0 * olive.saponification.value / 56106.0
    matter = stearic.unsaponifiable.value / 1000.0
    end = finished(Recipe(((stearic, 100.0), (olive, 900.0)), (of_acid + 0.9 * of_oil) * NAOH, 0.0, 300.0))
    (_, acid), (_, oil) = end.fats
    assert acid.sodium == pytest.approx(100.0 * (1.0 - matter) + of_acid * (NAOH - WATER))
    assert acid.left == pytest.approx(100.0 * matter)
    assert oil.left > 0.09 * 900.0
    assert end.glycerin == pytest.approx(0.9 * of_oil * GLYCEROL / 3.0)


def test_a_wax_makes_soap_of_its_acid_alone() -> None:
    """Beeswax mostly stays wax, and sets no glycerin free."""
    wax = reference().get("beeswax")
    moles = 100.0 * wax.saponification.value / 56106.0
    end = finished(Recipe(((wax, 100.0),), moles * NAOH, 0.0, 30.0))
    (_, ends), *_ = end.fats
    assert end.glycerin == 0.0
    assert ends.left > 75.0
    assert ends.sodium + ends.left == pytest.approx(100.0 + moles * (NAOH - WATER))


def test_two_alkalis_part_every_soap_by_their_moles() -> None:
    """With one mole of potassium for three of sodium a quarter of the fat is potassium soap, which is heavier for its potassium."""
    fat = of_saponification_alone("some fat", Figure(190.0, 188.0, 192.0))
    moles = 190.0 / 56.106
    end = finished(Recipe(((fat, 1000.0),), 0.75 * moles * NAOH, 0.25 * moles * KOH, 300.0))
    (_, ends), *_ = end.fats
    anion = (1000.0 - moles * GLYCEROL / 3.0) / moles
    assert ends.sodium == pytest.approx(0.75 * moles * (anion + NAOH))
    assert ends.potassium == pytest.approx(0.25 * moles * (anion + KOH))


def test_citric_acid_ends_as_citrate() -> None:
    """192.12 g of citric acid and three moles of sodium hydroxide are 258.07 g of citrate (PubChem, trisodium citrate, from memory)."""
    recipe = recipe_at({"olive oil": 10.0}, extra={"citric acid": 19.2123})
    (_, ends), *_ = finished(recipe).additives
    grams = next(grams for item, grams in recipe.additives if item.name == "citric acid")
    assert ends.sodium / grams == pytest.approx(258.07 / 192.12, rel=1e-3)
    assert ends.left == 0.0


def test_vinegar_and_lactic_acid_end_as_their_salts() -> None:
    """A litre of 5 % vinegar is 0.833 mol of acetate, 82.03 g a mole; lactate is 112.06 (molar masses by atomic weights)."""
    olive = reference().get("olive oil")
    recipe = Recipe(
        ((olive, 5000.0),), 700.0, 0.0, 0.0, ((additives()["vinegar"], 1000.0), (additives()["lactic acid"], 100.0))
    )
    (_, vinegar), (_, lactic) = finished(recipe).additives
    assert vinegar.sodium == pytest.approx(50.0 / 60.052 * 82.034, rel=1e-4)
    assert lactic.sodium == pytest.approx(88.0 / 90.078 * 112.06, rel=1e-4)


def test_a_paste_keeps_its_water() -> None:
    """What does not dry weighs as much as all that is in the pot, the impurity of sodium hydroxide aside."""
    olive = reference().get("olive oil")
    recipe = Recipe(((olive, 1000.0),), 0.0, 200.0, 400.0, potassium_purity=0.9)
    end = finished(recipe, dries=False)
    assert end.grams == pytest.approx(1600.0)
    assert end.water == pytest.approx(total_water(recipe))
    assert finished(recipe).grams == pytest.approx(cured_grams(recipe, 180.0))


def test_alkali_that_nothing_takes_is_told() -> None:
    """A lye-heavy batch keeps sodium hydroxide: all that is beyond what the fat can take."""
    fat = of_saponification_alone("some fat", Figure(190.0, 188.0, 192.0))
    end = finished(Recipe(((fat, 1000.0),), 150.0, 0.0, 300.0))
    assert end.sodium_hydroxide == pytest.approx(150.0 - 190.0 / 56.106 * NAOH)
    assert end.fats[0][1].left == 0.0


def test_acids_may_take_all_the_alkali() -> None:
    """Where there is hardly any alkali the acid gets it, part of it stays acid, and no fat turns to soap."""
    olive = reference().get("olive oil")
    end = finished(Recipe(((olive, 100.0),), 4.0, 0.0, 50.0, ((additives()["citric acid"], 30.0),)))
    (_, acid), *_ = end.additives
    assert end.soap == end.glycerin == 0.0
    assert 0.0 < acid.left < 30.0


def test_a_liquid_stays_one_thing() -> None:
    """Buttermilk keeps its name for all that is not water, the lactate of its little acid with it."""
    milk = liquids()["buttermilk"]
    olive = reference().get("olive oil")
    (_, ends), *_ = finished(Recipe(((olive, 1000.0),), 130.0, 0.0, 0.0, ((milk, 300.0),))).additives
    assert ends.sodium == ends.potassium == 0.0
    assert 300.0 * milk.dry_fraction < ends.left < 300.0 * milk.dry_fraction * 1.05


@given(recipes())
@settings(max_examples=examples(40))
def test_masses_add_up_to_the_cured_bars(recipe: Recipe) -> None:
    """Whatever the recipe, all parts together weigh what the bars weigh as cured, and none weighs less than nothing."""
    end = finished(recipe)
    parts = [grams for _, ends in (*end.fats, *end.additives) for grams in ends]
    assert min(parts) >= 0.0
    assert end.water >= recipe.cured_water * cured_grams(recipe, pure(recipe)) - 1e-6
    assert end.grams == pytest.approx(cured_grams(recipe, pure(recipe)), rel=1e-12)


@given(recipes())
@settings(max_examples=examples(40))
def test_no_alkali_is_lost_or_won(recipe: Recipe) -> None:
    """Soap, glycerin and fat left over weigh more than the fats by the alkali that acids did not take and that is not left."""
    assume(not any(fat.kind in ("wax", "fatty acid") for fat, _ in recipe.fats))
    end = finished(recipe)
    judged = judge(recipe)
    moles = judged.pure_sodium_hydroxide / NAOH + judged.pure_potassium_hydroxide / KOH
    free = end.sodium_hydroxide / NAOH + end.potassium_hydroxide / KOH
    acid = sum(item.alkali_mol_per_kg * grams / 1000.0 for item, grams in recipe.additives)
    share = judged.pure_sodium_hydroxide / NAOH / moles
    after = end.soap + end.glycerin + math.fsum(ends.left for _, ends in end.fats)
    gained = (moles - free - acid) * (share * NAOH + (1.0 - share) * KOH)
    assert after - recipe.fat_grams == pytest.approx(gained, rel=1e-6, abs=1e-6)
