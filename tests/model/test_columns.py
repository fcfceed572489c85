"""The columns: every figure of a batch as a vector over fats, alkalis, water and additives."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from strategies import PLAIN, at_least, at_most, blends, examples, sheet_of, shelf_of, stocked

from optimiser.materials.additives import additives
from optimiser.materials.fat_table import reference
from optimiser.measures.measures import levers
from optimiser.measures.profiles import fat_values
from optimiser.model.columns import Columns
from optimiser.model.pot import volume
from optimiser.model.programme import lay_columns
from optimiser.problem.batch import Batch

PRICES = {"olive oil": 7.0, "coconut oil": 3.0, "palm oil": 2.0}


def columns(*, potassium: bool = True, extra: tuple[str, ...] = ("sodium lactate", "citric acid")) -> Columns:
    """Three fats, both alkalis, water and two additives."""
    fats = tuple(stocked(name, price) for name, price in sorted(PRICES.items()))
    shelf = shelf_of(PRICES, potassium=potassium, extra={"sodium lactate": 9.0, "citric acid": 5.0})
    return Columns(fats, tuple(additives()[name] for name in extra), shelf, Batch())


def test_every_column_has_one_place() -> None:
    """Fats come first in order of name, then the two alkalis, water, the additives and the lot spread."""
    made = columns()
    assert [column.name for column in made.all] == [
        *("coconut oil", "olive oil", "palm oil", "sodium hydroxide", "potassium hydroxide", "water"),
        *("sodium lactate", "citric acid", "lot spread"),
    ]
    assert made.size == len(made.all) == len(made.index)
    assert [made.all[place].kind for place in made.additive_places] == ["additive", "additive"]


def test_without_potassium_on_the_shelf_its_column_is_shut() -> None:
    """Potassium hydroxide that nobody has cannot be used."""
    assert columns(potassium=False).all[4].upper == 0.0
    assert columns().all[4].upper > 0.0


def test_a_constant_counts_once_for_any_blend() -> None:
    """A constant laid on the shares is itself wherever the shares add up to one."""
    made = columns()
    point = np.array([0.2, 0.5, 0.3, 0.14, 0.0, 0.28, 0.02, 0.01, 0.0])
    assert made.constant(7.5) @ point == pytest.approx(7.5)


def test_alkali_is_counted_in_moles() -> None:
    """Forty grams of sodium hydroxide or fifty-six of potassium hydroxide are one mole (molar masses as in IUPAC 2021)."""
    made = columns()
    assert made.alkali_mol @ (0.039997 * made.at("sodium hydroxide")) == pytest.approx(1.0, rel=1e-6)
    assert made.alkali_mol @ (0.056106 * made.at("potassium hydroxide")) == pytest.approx(1.0, rel=1e-6)


def test_citric_acid_takes_three_moles_a_mole() -> None:
    """192.12 g of citric acid take three moles of alkali, so as much more fat is left unreacted."""
    made = columns()
    point = 0.19212 * made.at("citric acid")
    assert made.acid_mol @ point == pytest.approx(3.0, rel=1e-4)
    assert made.unreacted @ point == pytest.approx(3.0, rel=1e-4)


def test_water_comes_along_with_solutions() -> None:
    """Ninety per cent potassium hydroxide brings a ninth of its pure weight, a 60 % lactate two fifths of its own."""
    made = columns()
    assert made.water_brought[made.index["potassium hydroxide"]] == pytest.approx(1.0 / 9.0)
    assert made.water_brought[made.index["sodium lactate"]] == pytest.approx(0.4)
    assert made.water_brought[made.index["water"]] == 0.0


def test_cured_weight_is_all_that_is_dry_and_its_water() -> None:
    """Fats, alkali and dry additives are 90 % of the cured bar, and water weighed in does not count."""
    made = columns()
    point = np.array([0.2, 0.5, 0.3, 0.14, 0.0, 0.28, 0.02, 0.01, 0.0])
    assert made.cured @ point == pytest.approx((1.0 + 0.14 + 0.02 * 0.6 + 0.01) / 0.9)


def test_impure_alkali_costs_more() -> None:
    """A pure kilo of a 98 % hydroxide at 2.40 costs 2.40 / 0.98, and water costs nothing."""
    made = columns()
    assert made.money[made.index["sodium hydroxide"]] == pytest.approx(2.4 / 0.98)
    assert made.money[made.index["potassium hydroxide"]] == pytest.approx(4.1 / 0.9)
    assert made.money[made.index["water"]] == 0.0
    assert made.money[made.index["sodium lactate"]] == 9.0


@settings(max_examples=examples(40))
@given(blends(PLAIN, most=3), st.floats(0.1, 0.5))
def test_measures_are_linear_over_columns(blend: dict[str, float], part: float) -> None:
    """A measure of a mixture of two batches is the mixture of their measures, levers and all."""
    fats = tuple(stocked(name, 1.0) for name in sorted(blend))
    made = Columns(fats, (additives()["salt"],), shelf_of(dict.fromkeys(blend, 1.0)), Batch())
    shares = np.array([blend[item.fat.name] for item in fats]) / sum(blend.values())
    one = np.concatenate([shares, [0.14, 0.0, 0.25, 0.0, 0.0]])
    other = np.concatenate([shares[::-1], [0.12, 0.0, 0.35, 0.02, 0.0]])
    for name in ("hardness", "trace_speed", "ash_risk", "mildness"):
        vector = made.measure(name)
        mixed = vector @ (part * one + (1.0 - part) * other)
        assert mixed == pytest.approx(part * (vector @ one) + (1.0 - part) * (vector @ other), abs=1e-9)


def test_batter_volume_is_about_what_its_densities_say() -> None:
    """A kilo of olive oil with a third of a kilo of 33 % lye fills about 1.36 L (1/0.90 + 0.4/1.36 L, handbook densities)."""
    made = Columns((stocked("olive oil", 7.0),), (), shelf_of({"olive oil": 7.0}), Batch())
    point = np.array([1.0, 0.132, 0.0, 0.268, 0.0])
    assert volume(made) @ point == pytest.approx(1.0 / reference().get("olive oil").density + 0.4 / 1.3566, rel=0.003)


def test_water_that_comes_later_dissolves_no_alkali() -> None:
    """A lactate's water is not in the jug, the crystal water of an acid is, and so is all that is weighed."""
    made = columns(extra=("sodium lactate", "citric acid monohydrate", "honey"))
    point = np.array([0.2, 0.5, 0.3, 0.14, 0.0, 0.28, 0.05, 0.02, 0.01, 0.0])
    assert made.mixing_water @ point == pytest.approx(0.28 - 0.05 * 0.4 - 0.01 * 0.18)


def test_potassium_lye_and_additives_fill_a_mould_too() -> None:
    """0.4 kg of a 33 % potassium hydroxide lye fill 0.4/1.3209 L (handbook density at 20 degC, as in the room); sugar 0.62 L a kilo (1 over its 1.59 kg/L, from memory)."""
    made = columns(extra=("sugar",))
    lye = 0.132 * made.at("potassium hydroxide") + 0.268 * made.at("water")
    assert volume(made) @ lye == pytest.approx(0.4 / 1.3209, rel=0.003)
    sodium = 0.132 * made.at("sodium hydroxide") + 0.268 * made.at("water")
    assert volume(made) @ sodium == pytest.approx(0.4 / 1.3566, rel=0.003)
    assert volume(made) @ (0.05 * made.at("sugar")) == pytest.approx(0.031)


@pytest.mark.parametrize(("name", "most"), [("sodium hydroxide", 0.35), ("potassium hydroxide", 0.5), ("water", 3.0)])
def test_no_bound_of_a_column_cuts_a_blend_off(name: str, most: float) -> None:
    """Coconut oil, the hungriest of common fats, takes 0.183 kg of sodium hydroxide a kilo: the bounds are far above, and finite."""
    made = columns()
    upper = made.all[made.index[name]].upper
    assert most < upper < 10.0


def test_free_oil_is_superfat_on_an_ordinary_blend() -> None:
    """Where a kilo of fats takes 3.45 mol, 5 % superfat is 5 % of free oil; citric acid takes alkali away and leaves more oil."""
    made = columns()
    alkali = 0.95 * 3.45 * 0.039997
    scale = 3.45 / made.fat_demand[:3]
    point = made.zeros()
    point[0], point[made.index["sodium hydroxide"]] = scale[0], alkali
    assert made.free_oil @ point == pytest.approx(5.0, abs=1e-6)
    point[made.index["citric acid"]] = 0.192124 * 0.0345 / 3.0
    assert made.free_oil @ point == pytest.approx(6.0, abs=1e-3)


def test_levers_stand_at_nothing_for_the_ordinary_bar() -> None:
    """At 5 % superfat, 280 g of water a kilo, a batter of 35 degC without gel and no additives a measure is the fats' own."""
    made = columns()
    shares = np.array([0.3, 0.4, 0.3])
    point = made.zeros()
    point[:3], point[made.index["water"]] = shares, 0.28
    moles = float(made.fat_demand[:3] @ shares) - 0.05 * 3.45
    point[made.index["sodium hydroxide"]] = moles * 0.039997
    for name in ("hardness", "trace_speed", "ash_risk", "mildness", "set_up"):
        own = float(fat_values(made.fats, [name])[0] @ shares)
        assert made.measure(name) @ point == pytest.approx(own, abs=1e-5)


def test_potassium_moves_a_measure_by_its_lever() -> None:
    """At the ordinary bar, all of its alkali as potassium hydroxide moves a measure by a hundred times the lever per cent."""
    made = columns()
    shares = np.array([0.3, 0.4, 0.3])
    point = made.zeros()
    point[:3], point[made.index["water"]] = shares, 0.28
    moles = float(made.fat_demand[:3] @ shares) - 0.05 * 3.45
    point[made.index["potassium hydroxide"]] = moles * 0.056106
    moved = 0
    for name in ("hardness", "trace_speed", "ash_risk", "mildness", "set_up", "wear_life"):
        own = float(fat_values(made.fats, [name])[0] @ shares)
        lever = levers(name).potassium
        moved += lever != 0.0
        assert made.measure(name) @ point == pytest.approx(own + 100.0 * lever * moles / (0.95 * 3.45), abs=1e-5)
    assert moved


def test_nothing_is_more_than_all_of_the_fats() -> None:
    """A share is at most the whole, of a fat and of an additive; without potassium on the shelf none brings water."""
    made = columns(potassium=False)
    assert {column.upper for column in made.all if column.kind in ("fat", "additive")} == {1.0}
    assert made.water_brought[made.index["potassium hydroxide"]] == 0.0
    assert made.money[made.index["potassium hydroxide"]] == 0.0


def test_programmes_over_one_shelf_share_their_columns() -> None:
    """Goals alone do not lay columns anew; another shelf, batch or additive does, and nobody writes into what is kept."""
    made = shelf_of({"olive oil": 7.0, "coconut oil": 3.0})
    first = lay_columns(sheet_of(at_least("hardness", 40.0)), made)
    assert lay_columns(sheet_of(at_least("hardness", 60.0)), made) is first
    assert lay_columns(sheet_of(at_least("hardness", 40.0)), made._replace(title="another")) is not first
    assert lay_columns(sheet_of(batch=Batch(gel=True)), made) is not first
    assert lay_columns(sheet_of(additives=(at_most("sugar", 1.0, "additive"),)), made) is not first
    assert first.measure("hardness") is first.measure("hardness")
    with pytest.raises(ValueError, match="read-only"):
        first.measure("hardness")[0] = 1.0
