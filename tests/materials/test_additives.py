"""Additives: names, the alkali they take, what stays in the bar."""

from __future__ import annotations

import pytest
from molmass import Formula

from optimiser.materials.additives import Additive, additives, find
from optimiser.materials.fat_table import fold, reference
from optimiser.materials.lye import NAOH
from optimiser.reference import rows

ALL = tuple(additives().values())


@pytest.mark.parametrize("additive", ALL, ids=lambda additive: additive.name)
def test_an_additive_is_whole(additive: Additive) -> None:
    """Dry matter and water make up an additive, and it never gives alkali back."""
    assert additive.dry_fraction + additive.water_fraction == pytest.approx(1)
    assert min(additive.dry_fraction, additive.water_fraction, additive.alkali_mol_per_kg) >= 0
    assert 0 < additive.usual_high <= 100
    assert additive.effect
    assert additive.source


@pytest.mark.parametrize(
    ("name", "grams"),
    [
        ("citric acid", 3 * 39.997 / 192.123),
        ("citric acid monohydrate", 3 * 39.997 / 210.138),
        ("pure lactic acid", 39.997 / 90.078),
        ("lactic acid", 0.88 * 39.997 / 90.078),
        ("acetic acid", 39.997 / 60.052),
        ("vinegar", 0.05 * 39.997 / 60.052),
        ("tartaric acid", 2 * 39.997 / 150.086),
        ("sodium lactate", 0.0),
        ("salt", 0.0),
        ("sugar", 0.0),
    ],
)
def test_an_acid_takes_the_sodium_hydroxide_that_stoichiometry_says(name: str, grams: float) -> None:
    """Grams of sodium hydroxide per gram: equivalents x 39.997 / molar mass (IUPAC 2021 atomic weights, by hand)."""
    assert additives()[name].alkali_mol_per_kg * NAOH / 1000 == pytest.approx(grams, rel=1e-4)


@pytest.mark.parametrize(
    ("formula", "molar_mass"),
    [(row["formula"], float(row["molar_mass"])) for row in rows("additives") if row["formula"] not in {"", "mixture"}],
)
def test_a_molar_mass_is_that_of_its_formula(formula: str, molar_mass: float) -> None:
    """Molar masses agree with the molmass library, crystal water counted; rosin, a mixture, has none to compare."""
    total = 0.0
    for part in formula.split("."):
        count = part[: len(part) - len(part.lstrip("0123456789"))]
        total += int(count or 1) * Formula(part.lstrip("0123456789")).mass
    assert molar_mass == pytest.approx(total, abs=0.02)


@pytest.mark.parametrize(
    ("asked", "found"),
    [
        ("Sodium_Lactate", "sodium lactate"),
        ("sodium lactate 60 % solution", "sodium lactate"),
        ("Glycerol", "glycerine"),
        ("table salt", "salt"),
        ("baking soda", "sodium bicarbonate"),
        ("citric acid anhydrous", "citric acid"),
        ("EDTA tetrasodium", "tetrasodium edta"),
    ],
)
def test_an_additive_answers_to_its_names(asked: str, found: str) -> None:
    """Case, blanks and underscores do not matter, and synonyms lead to the additive."""
    additive = find(asked)
    assert additive is not None
    assert additive.name == found


def test_an_unknown_additive_is_none() -> None:
    """A name that is no additive finds nothing; carbon dioxide of the air is none."""
    assert find("gunpowder") is None
    assert find("carbon dioxide") is None


def test_no_name_means_two_things() -> None:
    """No two additives share a name, and none shares one with a fat."""
    names = [fold(name) for additive in ALL for name in (additive.name, *additive.synonyms)]
    assert len(names) == len(set(names))
    assert not [name for name in names if reference().find(name)]


def test_free_fatty_acids_are_fats() -> None:
    """Soap-forming acids are asked of the table of fats, where their whole acid value counts."""
    for name in ("stearic acid", "palmitic acid", "myristic acid", "lauric acid", "oleic acid"):
        assert find(name) is None
        assert reference().get(name).kind == "fatty acid"


def test_promises_reach_additives() -> None:
    """Tags that a label may promise to be free from are set on additives as well."""
    assert "animal" in additives()["honey"].tags
    assert "milk" in additives()["goat milk powder"].tags
    assert "palm" in additives()["glycerine"].tags
