"""The room that batter takes up in a mould, against handbook densities of fats and lye, by hand."""

from __future__ import annotations

import pytest

from optimiser.materials.additives import additives
from optimiser.materials.batter import POTASSIUM_VOLUME, SODIUM_VOLUME, WATER_VOLUME, WITHIN
from optimiser.materials.fat_table import reference
from optimiser.materials.lye import lye_density
from optimiser.recipe.batch_size import litres, litres_within
from optimiser.recipe.evaluation import Recipe, batter_grams

CODEX = {
    # CXS 210-1999, table 2, relative densities (as held in fat_facts.csv, read in a restatement): middle of each range,
    # with the temperature of the oil; water at 20 degC weighs 0.9982 kg/L (CRC Handbook, from memory).
    "coconut oil": (0.908, 0.921, 40.0),
    "cottonseed oil": (0.918, 0.926, 20.0),
    "maize oil": (0.917, 0.925, 20.0),
    "babassu oil": (0.914, 0.917, 25.0),
}


@pytest.mark.parametrize("name", sorted(CODEX))
def test_fats_weigh_what_the_handbook_says(name: str) -> None:
    """At 40 degC, by the published middle less 0.00068 kg/L for each kelvin from its own temperature, to 1 %."""
    low, high, at = CODEX[name]
    expected = (low + high) / 2.0 * 0.9982 - 0.00068 * (40.0 - at)
    assert reference().get(name).density == pytest.approx(expected, rel=0.01)


@pytest.mark.parametrize(
    ("strength", "within"), [(0.25, 0.03), (0.28, 0.015), (0.30, 0.015), (0.33, 0.015), (0.36, 0.015), (0.40, 0.03)]
)
def test_lye_takes_up_the_sum_of_its_parts(strength: float, within: float) -> None:
    """The volumes of water and hydroxide come to that of the lye within 1.5 % from 28 to 36 %, within 3 % from 25 to 40 %.

    Lye is about a quarter of a batter, so that is within 1 % of it.

    Density of the lye: Laliberte & Cooper, J. Chem. Eng. Data 54 (2009) 1725-1760, doi 10.1021/je8008123.
    """
    water = 1.0 - strength
    sodium = 1000.0 / lye_density(sodium_g=strength, potassium_g=0.0, water_g=water)
    potassium = 1000.0 / lye_density(sodium_g=0.0, potassium_g=strength, water_g=water)
    assert WATER_VOLUME * water + SODIUM_VOLUME * strength == pytest.approx(sodium, rel=within)
    assert WATER_VOLUME * water + POTASSIUM_VOLUME * strength == pytest.approx(potassium, rel=within)


def test_a_litre_of_batter_by_hand() -> None:
    """1000 g of coconut oil with 183 g sodium hydroxide in 366 g water, from densities alone.

    Oil at 40 degC: (0.908 + 0.921)/2 x 0.9982 = 0.9129 kg/L, so 1095.4 mL. A lye of 33.3 % weighs 1.3634 kg/L at 20 degC
    (CRC Handbook, from memory: 1.3634 at 33.3 % between 1.3490 at 32 % and 1.3708 at 34 %), so 549 g take 402.7 mL. In all 1498 mL.
    """
    fat = reference().get("coconut oil")
    recipe = Recipe(fats=((fat, 1000.0),), sodium_hydroxide=183.0, potassium_hydroxide=0.0, water=366.0)
    assert litres(recipe) == pytest.approx(1.498, rel=WITHIN / 2.0)
    assert batter_grams(recipe) / litres(recipe) / 1000.0 == pytest.approx(1.03, abs=0.02)


SOLIDS = {
    # kg/L of what is not water, as handbooks (CRC Handbook and others) have them, all from memory
    "salt": 2.165,
    "kaolin": 2.6,
    "bentonite": 2.6,
    "sugar": 1.587,
    "citric acid": 1.665,
    "titanium dioxide": 4.1,
    "zinc oxide": 5.6,
    "glycerine": 1.261,
}


@pytest.mark.parametrize("name", sorted(SOLIDS))
def test_what_is_stirred_in_takes_up_the_room_of_its_density(name: str) -> None:
    """A litre by the handbook's density, to 5 %: it is no more than that, since what dissolves takes up less."""
    assert additives()[name].litres == pytest.approx(1.0 / SOLIDS[name], rel=0.05)


@pytest.mark.parametrize(
    ("name", "parts", "density"), [("honey", (0.82, 0.18), 1.42), ("sodium lactate", (0.6, 0.4), 1.32)]
)
def test_a_solution_weighs_what_the_handbook_says(name: str, parts: tuple[float, float], density: float) -> None:
    """Dry matter and water together come to its density (from memory), to 2 %: its water is counted once."""
    item = additives()[name]
    dry, water = parts
    assert (item.dry_fraction, item.water_fraction) == parts
    assert 1.0 / (dry * item.litres + water * WATER_VOLUME) == pytest.approx(density, rel=0.02)


def test_a_salt_bar_fills_its_mould() -> None:
    """By hand: 80 % of salt on a kilo of coconut oil takes up 0.37 L and not 0.64 L, and it is told how unsure that is."""
    coconut, salt = reference().get("coconut oil"), additives()["salt"]
    plain = Recipe(fats=((coconut, 1000.0),), sodium_hydroxide=150.0, potassium_hydroxide=0.0, water=300.0)
    bar = plain._replace(additives=((salt, 800.0),))
    assert litres(bar) - litres(plain) == pytest.approx(800.0 / 2.165 / 1000.0, rel=0.01)
    assert litres_within(plain) == WITHIN
    assert litres_within(bar) == pytest.approx(WITHIN + 0.8 * salt.litres_off / litres(bar))
