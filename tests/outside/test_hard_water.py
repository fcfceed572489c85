"""Soap lost to hard water, and soda ash, by stoichiometry against figures worked out by hand from formulae alone.

2 RCOONa + Ca2+ -> (RCOO)2Ca + 2 Na+ (equation as in encyclopaedias). Hardness of 1 mg/L as CaCO3 is 0.009991 mmol/L of
calcium. The milligrams below were computed by hand from the formulae of the soaps (atomic weights: IUPAC 2021).
"""

from __future__ import annotations

import pytest
from molmass import Formula

from optimiser.materials.fat import Fat
from optimiser.materials.fat_table import reference
from optimiser.materials.lye import NAOH
from optimiser.recipe.evaluation import Recipe, judge
from optimiser.recipe.hard_water import hard_water, soap_molar_mass

# acid, formula of its sodium soap, molar mass, mg of soap destroyed and mg of calcium soap formed per litre and mg/L
SOAPS = (
    ("C12:0", "C12H23O2Na", 222.30, 4.44, 4.38),
    ("C14:0", "C14H27O2Na", 250.35, 5.00, 4.94),
    ("C16:0", "C16H31O2Na", 278.41, 5.56, 5.50),
    ("C18:0", "C18H35O2Na", 306.46, 6.12, 6.06),
    ("C18:1", "C18H33O2Na", 304.44, 6.08, 6.02),
    ("C18:1-OH", "C18H33O3Na", 320.44, 6.40, 6.34),
)
CARBONATE = 100.086


def pure(acid: str) -> Recipe:
    """A kilo of a fat of one acid alone, at 5 % superfat."""
    fat: Fat = reference().get("olive oil")._replace(acids={acid: 100.0})
    return Recipe(((fat, 1000.0),), 0.95 * fat.saponification.value / 56.106 * NAOH, 0.0, 280.0)


@pytest.mark.parametrize(("acid", "formula", "molar", "lost", "formed"), SOAPS)
def test_a_pure_soap_loses_what_stoichiometry_says(
    acid: str, formula: str, molar: float, lost: float, formed: float
) -> None:
    """For each soap and mg/L of hardness, a litre destroys and forms the milligrams worked out by hand."""
    made = pure(acid)
    water = hard_water(made, judge(made), 1.0)
    assert soap_molar_mass(made) == pytest.approx(molar, abs=0.01)
    assert soap_molar_mass(made) == pytest.approx(Formula(formula).mass, abs=0.01)
    assert 1000.0 * water.soap_lost == pytest.approx(lost, abs=0.006)
    assert 1000.0 * water.calcium_soap == pytest.approx(formed, abs=0.006)


def test_a_basin_of_very_hard_water_eats_eighteen_grams() -> None:
    """Ten litres at 300 mg/L take 18 g of stearate before any lather stands."""
    made = pure("C18:0")
    water = hard_water(made, judge(made), 300.0)
    assert 10.0 * water.soap_lost == pytest.approx(18.4, abs=0.1)
    assert water.word == "very hard"


def test_citrate_for_a_basin_is_heavy() -> None:
    """All the calcium of that basin, 30 mmol, would take 8.8 g of trisodium citrate dihydrate, one for one."""
    moles = 10.0 * 300.0 / 1000.0 / CARBONATE
    dihydrate = Formula("C6H5O7Na3").mass + 2.0 * Formula("H2O").mass
    assert moles == pytest.approx(0.030, abs=1e-4)
    assert moles * dihydrate == pytest.approx(8.8, abs=0.05)
    made = pure("C18:0")
    bare = hard_water(made, judge(made), 300.0)
    (citrate,) = (item for item in bare.offers if item.name == "sodium citrate")
    assert citrate.grams == pytest.approx(20.0)
    spared = citrate.grams / dihydrate  # mol of calcium in all the washes that the kilo of fats is good for
    pairs = 0.95 * made.fats[0][0].saponification.value / 56.106 / 2.0
    assert citrate.spares == pytest.approx(100.0 * spared / (pairs + spared), rel=1e-4)


def test_soda_ash_from_the_air() -> None:
    """CO2 + 2 NaOH -> Na2CO3 + H2O: 1 g of CO2 takes 1.818 g of hydroxide and leaves 2.408 g of carbonate."""
    dioxide, hydroxide, carbonate = (Formula(name).mass for name in ("CO2", "NaOH", "Na2CO3"))
    assert 2.0 * NAOH / dioxide == pytest.approx(1.818, abs=0.001)
    assert 2.0 * hydroxide / dioxide == pytest.approx(1.818, abs=0.001)
    assert carbonate / dioxide == pytest.approx(2.408, abs=0.001)
