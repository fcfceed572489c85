"""Hard water: soap lost by stoichiometry of the blend's own soaps, and what a chelant spares."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from strategies import SPAN

from optimiser.answers.blend import answer
from optimiser.answers.results import Blend
from optimiser.files.goals import read_goals
from optimiser.materials.additives import additives
from optimiser.materials.fat_table import reference
from optimiser.materials.lye import NAOH
from optimiser.recipe.evaluation import Recipe, judge
from optimiser.recipe.hard_water import HardWater, binding, hard_water, soap_mol, soap_molar_mass, word_for
from optimiser.report.json import documents as data
from optimiser.text.hardness import read_hardness
from optimiser.text.nodes import Text
from optimiser.text.quantities import Misread

SHELF = Path(__file__).parents[2] / "inventory" / "kittiwake.yaml"


def recipe(potassium: float = 0.0, **grams: float) -> Recipe:
    """A recipe of fats in grams with a superfat of some 5 %."""
    fats = tuple((reference().get(name.replace("_", " ")), weight) for name, weight in grams.items())
    moles = sum(fat.saponification.value * weight for fat, weight in fats) / 56106.0 * 0.95
    return Recipe(fats, moles * (1 - potassium) * 39.997, moles * potassium * 56.106, 280.0)


def told(made: Recipe, hardness: float) -> HardWater:
    """The figures for a recipe."""
    return hard_water(made, judge(made), hardness)


@given(hardness=st.floats(1.0, 1000.0), more=st.floats(1.1, 5.0))
def test_soap_lost_is_in_proportion_to_hardness(hardness: float, more: float) -> None:
    """Twice the calcium takes twice the soap, and soft water none."""
    made = recipe(olive_oil=700.0, coconut_oil=300.0)
    assert told(made, more * hardness).soap_lost == pytest.approx(more * told(made, hardness).soap_lost)
    assert told(made, 0.0).soap_lost == 0.0


def test_a_blend_lies_between_its_soaps() -> None:
    """The mean molar mass of a blend's soaps lies between those of its fats, and a lauric blend loses less by weight."""
    coconut, olive = recipe(coconut_oil=1000.0), recipe(olive_oil=1000.0)
    both = recipe(coconut_oil=400.0, olive_oil=600.0)
    assert soap_molar_mass(coconut) < soap_molar_mass(both) < soap_molar_mass(olive)
    assert told(coconut, 250.0).soap_lost < told(olive, 250.0).soap_lost


def test_potassium_soaps_are_heavier_by_the_metal() -> None:
    """All potassium in place of sodium adds 39.098 - 22.990 g/mol."""
    assert soap_molar_mass(recipe(olive_oil=1.0), 1.0) - soap_molar_mass(recipe(olive_oil=1.0)) == pytest.approx(16.108)
    assert told(recipe(1.0, olive_oil=1000.0), 250.0).soap_lost > told(recipe(olive_oil=1000.0), 250.0).soap_lost


def test_soap_is_the_fat_that_took_alkali() -> None:
    """At 5 % superfat 95 % of the demand is soap; a lye-heavy batch makes no more soap than its fats can give."""
    made = recipe(olive_oil=1000.0)
    full = reference().get("olive oil").saponification.value / 56.106
    assert soap_mol(made, judge(made)) == pytest.approx(0.95 * full)
    heavy = made._replace(sodium_hydroxide=made.sodium_hydroxide * 1.5)
    assert soap_mol(heavy, judge(heavy)) == pytest.approx(full)


def test_the_bar_that_goes_holds_the_soap_that_is_lost() -> None:
    """Without a chelant the bar lost holds just the moles of soap that the calcium takes."""
    made = recipe(olive_oil=800.0, coconut_oil=200.0)
    water = told(made, 300.0)
    in_bar = water.bar_lost * soap_mol(made, judge(made)) / judge(made).cured_grams
    assert in_bar == pytest.approx(2.0 * 300.0 / 1000.0 / 100.086)
    assert water.bar_lost > water.soap_lost


def test_a_chelant_spares_what_it_binds() -> None:
    """10 g of trisodium citrate dihydrate bind 34 mmol of calcium, as much as 68 mmol of soap would."""
    bare = recipe(olive_oil=1000.0)
    helped = bare._replace(additives=((additives()["sodium citrate"], 10.0),))
    spared = 10.0 / 294.099
    pairs = soap_mol(helped, judge(helped)) / 2.0
    assert told(helped, 250.0).spared == pytest.approx(100.0 * spared / (pairs + spared))
    assert told(bare, 250.0).spared == 0.0
    assert told(helped, 250.0).soap_lost == told(bare, 250.0).soap_lost
    assert told(helped, 250.0).bar_lost < told(bare, 250.0).bar_lost * 1.01


def test_citric_acid_is_offered_with_its_alkali() -> None:
    """One per cent of citric acid on a kilo is 10 g, which take 3 x 39.997 / 192.123 of their weight in sodium hydroxide."""
    offers = {item.name: item for item in told(recipe(olive_oil=1000.0), 250.0).offers}
    assert offers["citric acid"].grams == pytest.approx(10.0)
    assert offers["citric acid"].alkali_g == pytest.approx(10.0 * 3.0 * NAOH / 192.123)
    assert offers["sodium citrate"].alkali_g == 0.0
    assert 0.0 < offers["sodium citrate"].spares < 10.0
    held = recipe(olive_oil=1000.0)._replace(additives=((additives()["citric acid"], 5.0),))
    assert "citric acid" not in {item.name for item in told(held, 250.0).offers}


def test_a_mole_of_citrate_binds_one_calcium_however_it_is_weighed() -> None:
    """Per kilo citric acid binds as much as 1.5308 kg of trisodium citrate dihydrate; salt binds nothing."""
    assert binding("citric acid") == pytest.approx(1.5308 * binding("sodium citrate"), rel=1e-4)
    assert binding("salt") == 0.0


@pytest.mark.parametrize(
    ("hardness", "word"),
    [(0.0, "soft"), (60.0, "soft"), (61.0, "moderately hard"), (150.0, "hard"), (181.0, "very hard")],
)
def test_water_has_a_class(hardness: float, word: str) -> None:
    """Hardness has a word, as waterworks commonly class it."""
    assert word_for(hardness) == word


@pytest.mark.parametrize(
    ("written", "expected"),
    [
        ("250 mg/L", 250.0),
        ("250 mg/l as CaCO3", 250.0),
        ("250 ppm", 250.0),
        ("14 dH", 249.87),
        ("14 °dH", 249.87),
        ("14 degrees dH", 249.87),
        ("25 fH", 250.0),
        ("15 gpg", 256.77),
        ("15 grains per gallon", 256.77),
        ("10 Clark", 142.54),
        ("2.5 mmol/L", 250.215),
    ],
)
def test_hardness_is_read_in_every_common_unit(written: str, expected: float) -> None:
    """Units of waterworks and test strips come to mg of calcium carbonate in a litre."""
    assert read_hardness(written) == pytest.approx(expected, abs=0.01)


@pytest.mark.parametrize(
    ("written", "code"),
    [
        ("250", "no-unit"),
        ("250 g", "wrong-unit"),
        ("-3 dH", "out-of-range"),
        ("90000 ppm", "out-of-range"),
        ("hard", "not-a-figure"),
    ],
)
def test_hardness_that_is_none_is_refused(written: str, code: str) -> None:
    """A figure without a unit, in another one, or beyond any water is told as such."""
    with pytest.raises(Misread) as caught:
        read_hardness(Text(written, SPAN))
    assert caught.value.code == code


def test_the_goal_file_brings_its_water_into_the_answer(tmp_path: Path) -> None:
    """`water_hardness` is told back with the blend, and left out where the file says nothing of it."""
    path = tmp_path / "bar.yaml"
    path.write_text("title: x\nwater hardness: 14 dH\n", encoding="utf-8")
    assert read_goals(path).water is not None
    found = answer(path, SHELF)
    assert isinstance(found, Blend)
    assert found.water_hardness is not None
    part = data.blend(found)["hard_water"]
    assert part["hardness_mg_per_l_as_calcium_carbonate"] == pytest.approx(249.87, abs=0.01)
    assert part["class"] == "very hard"
    assert part["soap_lost_g_per_l"] == pytest.approx(found.water_hardness.soap_lost, abs=1e-5)
    path.write_text("title: x\n", encoding="utf-8")
    plain = answer(path, SHELF)
    assert isinstance(plain, Blend)
    assert data.blend(plain)["hard_water"] is None


@pytest.mark.parametrize("potassium", [0.0, 0.1, 0.6, 1.0])
def test_lime_soap_knows_no_metal_but_calcium(potassium: float) -> None:
    """Whatever the soap was made with, a litre turns 2 mol of its acid anions into lime soap for each mol of calcium.

    Mean molar mass of the acids less one hydrogen, twice, and calcium 40.078 g/mol (IUPAC 2021 abridged).
    """
    made = recipe(potassium, coconut_oil=400.0, olive_oil=600.0)
    calcium = 250.0 / 1000.0 / 100.086
    anion = soap_molar_mass(made) - 22.990
    water = told(made, 250.0)
    assert water.calcium_soap == pytest.approx(calcium * (2.0 * anion + 40.078))
    assert water.soap_lost == pytest.approx(2.0 * calcium * (anion + 22.990 + potassium * (39.098 - 22.990)))


def test_a_chelant_offered_spares_what_it_would_bind() -> None:
    """Two per cent of sodium citrate on a kilo, 20 g, spare bound / (soap / 2 + bound), with 294.099 g/mol (dihydrate)."""
    made = recipe(olive_oil=1000.0)
    pairs = soap_mol(made, judge(made)) / 2.0
    offers = {item.name: item for item in told(made, 250.0).offers}
    for name, bound in (("sodium citrate", 20.0 / 294.099), ("citric acid", 10.0 / 192.123)):
        assert offers[name].spares == pytest.approx(100.0 * bound / (pairs + bound))
    twice = made._replace(fats=tuple((fat, 2.0 * grams) for fat, grams in made.fats))
    assert {item.grams for item in hard_water(twice, judge(made), 250.0).offers} == {40.0, 20.0}


@pytest.mark.parametrize(
    ("hardness", "word"),
    [(60.1, "moderately hard"), (120.0, "moderately hard"), (120.1, "hard"), (180.0, "hard"), (180.1, "very hard")],
)
def test_a_class_ends_where_it_is_said_to(hardness: float, word: str) -> None:
    """The ends of a class belong to it: 60, 120 and 180 mg/L as CaCO3, as water is commonly classed."""
    assert word_for(hardness) == word
