"""What stands for water: water, sugar, fat and acid of milks, juices and the like."""

from __future__ import annotations

import pytest

from optimiser.materials.additives import Additive, additives
from optimiser.materials.additives import find as find_additive
from optimiser.materials.fat_table import fold, reference
from optimiser.materials.liquids import find_liquid, liquids, own_liquid
from optimiser.materials.lye import NAOH

ALL = tuple(liquids().values())


@pytest.mark.parametrize("liquid", ALL, ids=lambda liquid: liquid.name)
def test_a_liquid_is_whole(liquid: Additive) -> None:
    """Water and dry matter make up no more than all of it, and what is not water holds its sugar and fat."""
    assert liquid.is_liquid
    alcohol = 1.0 - liquid.water_fraction - liquid.dry_fraction
    assert alcohol + 1e-9 >= 0.0
    assert (alcohol > 0.001) is (liquid.name in ("beer", "wine"))
    assert liquid.sugar_fraction + liquid.fat_fraction <= liquid.dry_fraction + 1e-9
    assert 0.0 <= liquid.alkali_low_mol_per_kg <= liquid.alkali_mol_per_kg
    assert (liquid.fat_mol_per_kg > 0.0) is (liquid.fat_fraction > 0.0)
    assert liquid.goes_in in ("water", "split", "trace")
    assert liquid.advice
    assert liquid.effect


@pytest.mark.parametrize(
    ("name", "water", "fat", "sugar"),
    [
        ("goat milk", 87.03, 4.14, 4.45),  # 01106 Milk, goat, fluid
        ("cow milk", 88.13, 3.25, 5.05),  # 01077 Milk, whole, 3.25% milkfat
        ("coconut milk", 72.88, 21.33, 2.81),  # 12118 Nuts, coconut milk, canned
        ("avocado puree", 73.23, 14.66, 0.66),  # 09037 Avocados, raw, all commercial varieties
        ("coffee", 99.39, 0.0, 0.0),  # 14209 Beverages, coffee, brewed (fat 0.02 left out)
    ],
)
def test_figures_are_those_of_the_food_table(name: str, water: float, fat: float, sugar: float) -> None:
    """Per cent as in the USDA National Nutrient Database for Standard Reference 28 (2015), read there by number."""
    found = liquids()[name]
    told = (100 * found.water_fraction, 100 * found.fat_fraction, 100 * found.sugar_fraction)
    assert told == pytest.approx((water, fat, sugar), abs=0.005)


def test_milk_fat_counts_at_its_low_end() -> None:
    """A kilo of goat milk holds 41.4 g of fat that could take 210 mg KOH/g at the least (milk fat 210-235, from memory)."""
    assert liquids()["goat milk"].fat_mol_per_kg == pytest.approx(41.4 * 0.210 / 56.106, rel=1e-6)


def test_acid_of_milk_takes_next_to_no_alkali() -> None:
    """0.15 % of lactic acid take 0.67 g of sodium hydroxide in a kilo of milk, and 0.44 g at the weakest (stoichiometry)."""
    milk = liquids()["cow milk"]
    assert milk.alkali_mol_per_kg * NAOH == pytest.approx(1.5 * 39.997 / 90.078)
    assert milk.alkali_low_mol_per_kg * NAOH == pytest.approx(1.0 * 39.997 / 90.078)


def test_no_name_means_two_things() -> None:
    """No two liquids share a name, and none shares one with an additive or a fat, but for what is left out behind its oil."""
    names = [fold(name) for liquid in ALL for name in (liquid.name, *liquid.synonyms)]
    assert len(names) == len(set(names))
    assert not [name for name in names if fold(name) in reference().index or find_additive(name)]


@pytest.mark.parametrize(
    ("asked", "found"), [("Goats-Milk", "goat milk"), ("flat beer", "beer"), ("hydrosol", "rose water"), ("mud", None)]
)
def test_a_liquid_answers_to_its_names(asked: str, found: str | None) -> None:
    """Case, blanks and hyphens do not matter, and synonyms lead to the liquid."""
    liquid = find_liquid(asked)
    assert (None if liquid is None else liquid.name) == found


def test_promises_reach_liquids() -> None:
    """Tags that a label may promise to be free from are set on liquids as well."""
    assert all({"milk", "animal"} <= liquids()[name].tags for name in ("goat milk", "cow milk", "yogurt", "cream"))
    assert "coconut" in liquids()["coconut milk"].tags
    assert "gluten" in liquids()["beer"].tags


def test_more_water_is_less_of_all_the_rest() -> None:
    """Milk let down with water, by the water that it then holds, has its sugar, fat and acid in proportion."""
    milk = liquids()["goat milk"]
    thin = own_liquid("goat milk", milk, 1.0 - 0.1297 / 2.0)
    assert thin.like == ""
    for half, whole in (
        (thin.sugar_fraction, milk.sugar_fraction),
        (thin.fat_mol_per_kg, milk.fat_mol_per_kg),
        (thin.alkali_mol_per_kg, milk.alkali_mol_per_kg),
        (thin.dry_fraction, milk.dry_fraction),
    ):
        assert half == pytest.approx(whole / 2.0)


def test_thicker_milk_is_no_surer_an_acid() -> None:
    """What holds less water than the table's takes no more alkali at its weakest: its acid was not told."""
    thick = own_liquid("ours", liquids()["goat milk"], 0.80)
    assert thick.alkali_low_mol_per_kg == liquids()["goat milk"].alkali_low_mol_per_kg
    assert thick.base == "goat milk"


def test_a_liquid_of_water_alone() -> None:
    """One of a maker's own of which only the water is told counts for nothing else, and takes no alkali."""
    brew = own_liquid("well brew", None, 0.98)
    assert (brew.water_fraction, brew.dry_fraction) == pytest.approx((0.98, 0.02))
    assert own_liquid("dew", None, None).water_fraction == 1.0
    assert brew.usual_high == liquids()["goat milk"].usual_high == 100.0
    assert brew.alkali_mol_per_kg == brew.fat_mol_per_kg == brew.sugar_fraction == 0.0


def test_sugar_of_a_liquid_acts_as_sugar() -> None:
    """A liquid pulls the lever of sugar by the sugar in it, and no other."""
    milk = liquids()["goat milk"]
    assert milk.acts_as("sugar") == pytest.approx(0.0445)
    assert not [name for name in additives() if name != "sugar" and milk.acts_as(name)]


@pytest.mark.parametrize(
    ("written", "name"),
    [
        ("cows' milk", "cow milk"),
        ("cow\u2019s milk", "cow milk"),
        ("milk of goats", "goat milk"),
        ("Beers", "beer"),
        ("milk, coconut", "coconut milk"),
        ("purees of bananas", "banana puree"),
        ("cocoa", None),
        ("of", None),
    ],
)
def test_plurals_possessives_and_order_do_not_count(written: str, name: str | None) -> None:
    """A liquid is known however its words are turned; what has no words of it is not."""
    found = find_liquid(written)
    assert (found.name if found else None) == name
