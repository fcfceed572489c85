"""Additives: names, the alkali they take, what stays in the bar."""

from __future__ import annotations

import pytest
from molmass import Formula

from optimiser.materials.additives import Additive, additives, find, own_additive
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


@pytest.mark.parametrize(
    ("name", "grams"),
    [
        ("vinegar", 0.04 * 39.997 / 60.052),  # 4 g in 100 mL: FDA Compliance Policy Guide 562.100, from memory
        ("lactic acid", 0.80 * 39.997 / 90.078),  # the 80 % food grade; Ph. Eur. 0458 asks for 88.0-92.0 %, from memory
        ("citric acid", 3 * 39.997 / 210.138),  # a bag that does not say so may hold the monohydrate (stoichiometry)
        ("rosin", 145.0 * 39.997 / 56106.0),  # Ph. Eur. Colophony: acid value 145-180, from memory
    ],
)
def test_an_acid_takes_less_at_its_weakest(name: str, grams: float) -> None:
    """Grams of sodium hydroxide per gram of the weakest acid that is sold under the name."""
    assert additives()[name].alkali_low_mol_per_kg * NAOH / 1000 == pytest.approx(grams, rel=1e-3)


@pytest.mark.parametrize("additive", ALL, ids=lambda additive: additive.name)
def test_no_acid_is_stronger_at_its_weakest(additive: Additive) -> None:
    """The weakest takes no more than what is worked with, and where an acid is counted on it is never sure to the last gram."""
    assert 0.0 <= additive.alkali_low_mol_per_kg <= additive.alkali_mol_per_kg
    assert (additive.alkali_low_mol_per_kg < additive.alkali_mol_per_kg) is (additive.alkali_mol_per_kg > 0)


@pytest.mark.parametrize("name", ["borax", "pine tar", "zinc oxide", "iron oxides", "ultramarines", "sodium carbonate"])
def test_what_may_give_its_alkali_back_is_not_counted(name: str) -> None:
    """Alkali is not weighed for what takes none for sure: metaborate of borax is a base again in the soap (pKa 9.24, CRC)."""
    assert additives()[name].alkali_mol_per_kg == 0.0


def test_borax_carries_its_class() -> None:
    """Boron compounds are toxic to reproduction 1B, H360FD (CLP Regulation 1272/2008, Annex VI, from memory): it is said."""
    assert "H360FD" in additives()["borax"].caution


def test_one_of_the_makers_own_borrows_all_but_the_name() -> None:
    """An additive of one's own acts as its likeness does, within its own end."""
    own = own_additive("lavender scent", additives()["essential oil"], 2.5)
    plain = additives()["essential oil"]
    assert (own.name, own.base, own.most, own.usual_high) == ("lavender scent", "essential oil", 2.5, 2.5)
    assert (
        own._replace(name=plain.name, like="", most=None, usual_high=plain.usual_high, synonyms=plain.synonyms) == plain
    )
    salty = own_additive("grey salt", additives()["salt"], None)
    assert (salty.usual_high, salty.most, salty.acts_as("salt"), salty.acts_as("sugar")) == (3.0, None, 1.0, 0.0)


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
