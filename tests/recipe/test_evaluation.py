"""The judge: a recipe in grams, valued by plain sums."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from strategies import PLAIN, blends, examples, recipe_at, recipes

from optimiser.materials.additives import additives
from optimiser.materials.fat import like
from optimiser.materials.fat_table import reference
from optimiser.materials.lye_heat import made_at_once
from optimiser.problem.money import Prices
from optimiser.recipe.evaluation import Recipe, acid_heat, judge


def test_olive_soap_by_hand() -> None:
    """A kilo of olive oil with the alkali of 95 % of its saponification value has a superfat of 5 %.

    Saponification value / 56.106 x 39.997 (molar masses of KOH and NaOH) is the g of NaOH for a g of fat.
    """
    olive = reference().get("olive oil")
    sodium = 0.95 * olive.saponification.value / 56.106 * 39.997
    judged = judge(Recipe(((olive, 1000.0),), sodium, 0.0, 2.0 * sodium))
    assert judged.superfat == pytest.approx(5.0, abs=1e-9)
    assert judged.lye_concentration == pytest.approx(100.0 / 3.0)
    assert judged.water_to_alkali == pytest.approx(2.0)
    assert judged.cured_grams == pytest.approx((1000.0 + sodium) / 0.9)
    assert judged.batter_grams == pytest.approx(1000.0 + 3.0 * sodium)
    assert judged.values["saponification_value"] == pytest.approx(olive.saponification.value)
    assert judged.values["C18:1"] == pytest.approx(olive.acids["C18:1"])


def test_impure_alkali_counts_for_what_it_holds() -> None:
    """A hundred grams of 90 % potassium hydroxide are 90 g of alkali and 10 g of water."""
    olive = reference().get("olive oil")
    judged = judge(Recipe(((olive, 1000.0),), 0.0, 100.0, 200.0, potassium_purity=0.9))
    assert judged.pure_potassium_hydroxide == pytest.approx(90.0)
    assert judged.total_water == pytest.approx(210.0)
    assert judged.values["potassium_share"] == pytest.approx(100.0)


def test_citric_acid_leaves_more_fat_free() -> None:
    """Ten grams of citric acid take 3 x 10 / 192.12 moles of alkali away from the fats."""
    plain, acid = recipe_at({"olive oil": 1.0}), recipe_at({"olive oil": 1.0}, extra={"citric acid": 1.0})
    assert judge(acid).superfat == pytest.approx(5.0)
    assert acid.sodium_hydroxide - plain.sodium_hydroxide == pytest.approx(30.0 / 192.12 * 39.997, rel=1e-4)


def test_money_is_what_is_weighed_times_its_price() -> None:
    """Cost is the sum over the balance's grams, impurities included, over the cured weight."""
    recipe = recipe_at({"olive oil": 3.0, "coconut oil": 1.0}, extra={"sugar": 1.0})._replace(sodium_purity=0.5)
    prices = Prices("EUR", {"olive oil": 7.0, "coconut oil": 3.0}, 2.0, 4.0, {"sugar": 1.0})
    judged = judge(recipe, prices)
    money = 0.75 * 7.0 + 0.25 * 3.0 + 0.01 + recipe.sodium_hydroxide / 1000.0 * 2.0
    assert judged.money == pytest.approx(money)
    assert judged.cost_per_kg == pytest.approx(1000.0 * money / judged.cured_grams)
    assert judge(recipe).cost_per_kg is None


def test_without_fats_nothing_is_said() -> None:
    """A recipe without fats is refused in words."""
    with pytest.raises(ValueError, match="fats"):
        judge(Recipe((), 10.0, 0.0, 20.0))


@settings(max_examples=examples(60))
@given(recipes(), st.floats(0.1, 50.0))
def test_figures_do_not_depend_on_the_size(recipe: Recipe, factor: float) -> None:
    """A recipe in other amounts has the same superfat, lye, measures and acids."""
    bigger = recipe._replace(
        fats=tuple((fat, factor * grams) for fat, grams in recipe.fats),
        additives=tuple((item, factor * grams) for item, grams in recipe.additives),
        sodium_hydroxide=factor * recipe.sodium_hydroxide,
        potassium_hydroxide=factor * recipe.potassium_hydroxide,
        water=factor * recipe.water,
    )
    one, other = judge(recipe), judge(bigger)
    for name, value in one.values.items():
        assert other.values[name] == pytest.approx(value, rel=1e-9, abs=1e-7, nan_ok=True), name
    assert other.cured_grams == pytest.approx(factor * one.cured_grams)


@settings(max_examples=examples(60))
@given(recipes())
def test_the_likely_low_lies_between_worst_and_best(recipe: Recipe) -> None:
    """Worst case <= likely superfat <= superfat, whatever of the fats, the alkali and the acids may stray."""
    judged = judge(recipe)
    assert judged.superfat_worst_case <= judged.superfat_likely_low + 1e-9
    assert judged.superfat_likely_low <= judged.superfat + 1e-9


@settings(max_examples=examples(40))
@given(blends(PLAIN, least=1, most=5), st.randoms(use_true_random=False))
def test_no_lot_inside_its_range_is_worse_than_the_worst(blend: dict[str, float], chance: object) -> None:
    """Wherever in their ranges the lots lie, the superfat is never below the worst case told."""
    recipe = recipe_at(blend, superfat=2.0)
    worst = judge(recipe).superfat_worst_case
    draw = chance.uniform  # type: ignore[attr-defined]
    lots = []
    for fat, grams in recipe.fats:
        value = draw(fat.saponification.low, fat.saponification.high)
        lots.append((fat._replace(saponification=fat.saponification._replace(value=value)), grams))
    assert judge(recipe._replace(fats=tuple(lots))).superfat >= worst - 1e-9


def test_lye_beyond_the_tables_has_no_density() -> None:
    """Where no table reaches, density, volume and heat are no numbers rather than guesses."""
    judged = judge(recipe_at({"olive oil": 1.0}, lye=60.0))
    assert judged.lye_as_mixed == pytest.approx(60.0)
    for figure in (judged.lye_density, judged.lye_volume_ml, *judged.lye_temperature):
        assert math.isnan(figure)
    ordinary = judge(recipe_at({"olive oil": 1.0}))
    assert ordinary.lye_density == pytest.approx(1.357, abs=0.01)  # NaOH 33 %, 20 degC, handbook 1.363 from memory
    assert 80.0 < ordinary.lye_temperature[0] <= ordinary.lye_temperature[1] < 130.0
    thin = judge(recipe_at({"olive oil": 1.0}, lye=3.0))
    assert thin.lye_density == pytest.approx(1.031, abs=0.005)  # NaOH 3 %, 20 degC, handbook 1.031 from memory


@pytest.mark.parametrize(
    ("name", "share", "later", "acid"),
    [
        ("vinegar", 15.0, 0.0, 0.05 / 60.052 * 56.2),
        ("citric acid monohydrate", 3.0, 0.0, 3.0 / 210.138 * 54.9),
        ("sodium lactate", 15.0, 0.4, 0.0),
        ("honey", 3.0, 0.18, 0.0),
    ],
)
def test_the_jug_holds_what_goes_into_the_water(name: str, share: float, later: float, acid: float) -> None:
    """Water of vinegar is in the jug, that of a lactate or of honey is not: strength, volume and heat are the jug's.

    `acid`: kJ that a gram gives off with the alkali.
    """
    recipe = recipe_at({"olive oil": 3.0, "coconut oil": 1.0}, extra={name: share}, lye=28.0)
    judged = judge(recipe)
    alkali = judged.pure_sodium_hydroxide
    jug = alkali * 72.0 / 28.0 - later * 10.0 * share
    assert judged.lye_concentration == pytest.approx(28.0)
    assert judged.lye_as_mixed == pytest.approx(100.0 * alkali / (alkali + jug))
    assert judged.lye_volume_ml == pytest.approx((alkali + jug) / judged.lye_density)
    plain = judge(recipe._replace(additives=(), water=jug))
    assert plain.lye_density == pytest.approx(judged.lye_density)
    dissolved = made_at_once(sodium_g=alkali, potassium_g=0.0, water_g=jug, acid_kj=acid * 10.0 * share)
    assert judged.lye_temperature == pytest.approx(dissolved[:2])
    assert (judged.lye_temperature[0] > plain.lye_temperature[0] + 2.0) is (acid > 0.0)


def test_acid_gives_no_more_heat_than_there_is_alkali_for() -> None:
    """Where acids take all the alkali there is, its moles set the heat; acids that go into the fats give none of it."""
    soaked = Recipe(((reference().get("olive oil"), 1000.0),), 40.0, 0.0, 200.0, ((additives()["citric acid"], 500.0),))
    assert acid_heat(soaked) == pytest.approx(40.0 / 39.997 * 54.9)
    assert acid_heat(soaked._replace(sodium_hydroxide=0.0)) == 0.0
    assert acid_heat(soaked._replace(additives=((additives()["salicylic acid"], 500.0),))) == 0.0


def test_a_charge_that_may_take_no_alkali_has_all_of_it_left() -> None:
    """Pure lanolin may hold no free acid at all: the worst case is told as all alkali left, not as a fault."""
    judged = judge(recipe_at({"lanolin": 1.0}))
    assert judged.superfat == pytest.approx(5.0)
    assert judged.superfat_worst_case == -100.0


def test_alkali_purer_than_told_is_in_both_bounds() -> None:
    """A bar of 2 % by 98 % alkali that reads 99.5 % is one of 0.5 %: 0.98 x 1.5306 points less, worst and likely alike."""
    recipe = recipe_at({"olive oil": 1.0}, superfat=2.0)
    told = recipe._replace(sodium_hydroxide=recipe.sodium_hydroxide / 0.98, sodium_purity=0.98, sodium_purest=0.995)
    sure = told._replace(sodium_purest=0.98)
    drop = 98.0 * (0.995 / 0.98 - 1.0)
    fat, _ = recipe.fats[0]
    assert judge(told).superfat == pytest.approx(judge(sure).superfat)
    low = fat.saponification.value / fat.saponification.low
    assert judge(told).values["worst_case_superfat"] == pytest.approx(
        judge(sure).values["worst_case_superfat"] - drop * low
    )
    stray = 100.0 * fat.spread / fat.saponification.value
    assert judge(told).superfat_likely_low == pytest.approx(2.0 - math.hypot(drop, stray))
    assert judge(told).superfat - drop == pytest.approx(0.5, abs=0.01)


@pytest.mark.parametrize("names", [("one", "two", "three")])
def test_one_oil_under_several_names_is_as_unsure_as_under_one(names: tuple[str, ...]) -> None:
    """All olive, as itself or as three infusions of it, has one likely superfat: its lots go up and down together."""
    olive = reference().get("olive oil")
    plain = recipe_at({"olive oil": 1.0}, superfat=2.0)
    parts = tuple((like(olive, name=name)._replace(spread=olive.spread), 1000.0 / 3.0) for name in names)
    assert judge(plain._replace(fats=parts)).superfat_likely_low == pytest.approx(judge(plain).superfat_likely_low)
    apart = tuple((fat._replace(base=fat.name), grams) for fat, grams in parts)
    assert judge(plain._replace(fats=apart)).superfat_likely_low > judge(plain).superfat_likely_low + 0.1


def test_a_weak_vinegar_is_in_both_bounds() -> None:
    """What vinegar takes at its weakest is all that the worst case counts on, and it strays by the difference."""
    recipe = recipe_at({"olive oil": 1.0}, superfat=2.0, extra={"vinegar": 25.0})
    ((vinegar, grams),) = recipe.additives
    weaker = grams / 1000.0 * (vinegar.alkali_mol_per_kg - vinegar.alkali_low_mol_per_kg)
    strong = recipe._replace(additives=((vinegar._replace(alkali_low_mol_per_kg=vinegar.alkali_mol_per_kg), grams),))
    assert weaker > 0.0
    points = 100.0 * weaker / (sum(fat.saponification.low * weight for fat, weight in recipe.fats) / 56106.0)
    assert judge(recipe).values["worst_case_superfat"] == pytest.approx(
        judge(strong).values["worst_case_superfat"] - points
    )
    assert judge(recipe).superfat_likely_low < judge(strong).superfat_likely_low - 0.5
