"""The label held against what stands outside of it: names as published, stoichiometry of pure fats, limits of the law.

Each source stands beside its figures. `read`: seen in that source; `from memory`: recalled as of it, not seen.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from optimiser.answers.label import Label, label
from optimiser.materials.additives import additives, own_additive
from optimiser.materials.composition import Figure
from optimiser.materials.fat import of_saponification_alone
from optimiser.materials.fat_table import reference
from optimiser.materials.label_names import allergen_names, find_allergen
from optimiser.problem.units import Units
from optimiser.recipe.evaluation import Recipe
from optimiser.recipe.finished import finished
from optimiser.recipe.scents import allergens

PUBLISHED = [
    # fat, name in the list, sodium soap, potassium soap ("" where the source has none), source
    ("olive oil", "Olea Europaea (Olive) Fruit Oil", "Sodium Olivate", "Potassium Olivate", "industry glossary, read"),
    ("cocoa butter", "Theobroma Cacao (Cocoa) Seed Butter", "Sodium Cocoa Butterate", "", "industry glossary, read"),
    ("coconut oil", "Cocos Nucifera (Coconut) Oil", "Sodium Cocoate", "", "ingredient inventory and database, read"),
    ("macadamia oil", "Macadamia Integrifolia Seed Oil", "", "", "Cosmetics Europe ingredient database, read"),
    ("avocado oil", "", "Sodium Avocadoate", "", "openFDA substance record, read"),
    ("carnauba wax", "Copernicia Cerifera (Carnauba) Wax", "", "", "USDA AMS technical report on carnauba wax, read"),
    ("shea butter", "Butyrospermum Parkii (Shea) Butter", "", "", "CIR report on Butyrospermum parkii 2017, read"),
    ("sweet almond oil", "Prunus Amygdalus Dulcis (Sweet Almond) Oil", "", "", "ingredient specification, read"),
    ("palm oil", "Elaeis Guineensis (Palm) Oil", "Sodium Palmate", "Potassium Palmate", "CIR 2011, from memory"),
    ("palm kernel oil", "Elaeis Guineensis (Palm) Kernel Oil", "Sodium Palm Kernelate", "", "CIR 2011, from memory"),
    ("castor oil", "Ricinus Communis (Castor) Seed Oil", "Sodium Castorate", "", "CIR 2011, from memory"),
    ("soybean oil", "Glycine Soja (Soybean) Oil", "Sodium Soyate", "Potassium Soyate", "CIR 2011, from memory"),
    ("babassu oil", "Orbignya Oleifera Seed Oil", "Sodium Babassuate", "Potassium Babassuate", "CIR 2011, from memory"),
    (
        "beef tallow",
        "Tallow",
        "Sodium Tallowate",
        "",
        "CIR tallow report, from memory; sodium salt on a public page, read",
    ),
    ("lard", "Lard", "Sodium Lardate", "Potassium Lardate", "CIR lard report, from memory"),
    ("stearic acid", "Stearic Acid", "Sodium Stearate", "Potassium Stearate", "CIR 2019, from memory"),
]
EVERY_NAME = [row[0] for row in PUBLISHED]


@pytest.mark.parametrize(("fat", "oil", "sodium", "potassium", "source"), PUBLISHED, ids=EVERY_NAME)
def test_names_are_those_published(fat: str, oil: str, sodium: str, potassium: str, source: str) -> None:
    """A fat and its soaps bear the names under which the source lists them."""
    assert source
    told = reference().get(fat).label
    assert told is not None
    named = [(oil, told.oil), (sodium, told.sodium_soap), (potassium, told.potassium_soap)]
    assert [ours for theirs, ours in named if theirs] == [theirs for theirs, _ in named if theirs]


def test_the_union_s_words_where_they_are_others() -> None:
    """Adeps Bovis, Adeps Suillus and Cera Alba are what the European Union calls tallow, lard and beeswax.

    Cera Alba: an ingredient inventory, read; the others from memory.
    """
    words = [
        told.in_eu for name in ("beef tallow", "lard", "beeswax") if (told := reference().get(name).label) is not None
    ]
    assert words == ["Adeps Bovis", "Adeps Suillus", "Cera Alba"]


PURE = [
    # fat, its molar mass, that of its acid's sodium soap (IUPAC 2021 abridged atomic weights, by formula)
    ("trilaurin C39H74O6", 639.014, 222.304),
    ("tripalmitin C51H98O6", 807.338, 278.412),
    ("tristearin C57H110O6", 891.500, 306.466),
    ("triolein C57H104O6", 885.452, 304.450),
    ("triricinolein C57H104O9", 933.449, 320.449),
]


@pytest.mark.parametrize(("fat", "mass", "soap"), PURE)
def test_a_pure_triglyceride_gives_three_soaps_and_a_glycerol(fat: str, mass: float, soap: float) -> None:
    """A mole of triglyceride with three of sodium hydroxide is three moles of soap and one of glycerol, 92.09 g (Lide, CRC Handbook, from memory).

    Soaps of these molar masses are in every table of salts of fatty acids; here by formula from atomic weights.
    """
    value = 3000.0 * 56.106 / mass
    pure = of_saponification_alone(fat, Figure(value, value, value))
    end = finished(Recipe(((pure, mass),), 3.0 * 39.997, 0.0, 200.0))
    assert end.soap == pytest.approx(3.0 * soap, abs=0.05)
    assert end.glycerin == pytest.approx(92.09, abs=0.01)


def test_olive_and_coconut_by_hand(tmp_path: Path) -> None:
    """700 g of olive oil at 190 and 300 g of coconut oil at 256 mg KOH/g with a superfat of 5 %, worked out on paper.

    Alkali: (700 x 190 + 300 x 256) / 56106 = 3.7393 mol, 95 % of it 3.5523 mol, 142.08 g of sodium hydroxide. Glycerin: 3.5523 / 3 x
    92.09 = 109.05 g. Soap: 950 + 142.08 - 109.05 = 983.03 g, of olive 665 + 0.95 x 2.3705 x (39.997 - 30.698) = 685.94 g, of coconut
    297.09 g. Left over: 35 g and 15 g. Cured with 10 % of water: 1142.08 / 0.9 = 1268.98 g (molar masses: IUPAC 2021).
    """
    shelf = tmp_path / "shelf.yaml"
    shelf.write_text(
        "fats:\n"
        "  - {fat: an olive, saponification_value: 190, price: 1 / kg, inci: Olive, inci_sodium_soap: Sodium Olivate}\n"
        "  - {fat: a coconut, saponification_value: 256, price: 1 / kg, inci: Coconut, inci_sodium_soap: Sodium Cocoate}\n"
        "alkalis: {sodium hydroxide: {price: 1 / kg, purity: 100 %}}\n",
        encoding="utf-8",
    )
    recipe = tmp_path / "bar.yaml"
    text = "shelf: shelf.yaml\nfats: {an olive: 700 g, a coconut: 300 g}\nalkali: {sodium hydroxide: 142.08 g}\nwater: 290 g\n"
    recipe.write_text(text, encoding="utf-8")
    found = label(recipe)
    assert isinstance(found, Label)
    by_hand = [
        ("Sodium Olivate", 685.94),
        ("Sodium Cocoate", 297.09),
        ("Water", 126.90),
        ("Glycerin", 109.05),
        ("Olive", 35.0),
        ("Coconut", 15.0),
    ]
    assert [one.name for one in found.as_saponified] == [name for name, _ in by_hand]
    assert [one.grams for one in found.as_saponified] == pytest.approx([grams for _, grams in by_hand], abs=0.06)
    assert found.net_weight.batch_grams == pytest.approx(1268.98, abs=0.01)


LISTED_SINCE_2003 = (
    "Amyl Cinnamal;Benzyl Alcohol;Cinnamyl Alcohol;Citral;Eugenol;Hydroxycitronellal;Isoeugenol;Amylcinnamyl Alcohol;Benzyl Salicylate;"
    "Cinnamal;Coumarin;Geraniol;Anise Alcohol;Benzyl Cinnamate;Farnesol;Linalool;Benzyl Benzoate;Citronellol;Hexyl Cinnamal;Limonene;"
    "Methyl 2-Octynoate;Alpha-Isomethyl Ionone;Evernia Prunastri Extract;Evernia Furfuracea Extract"
)
"""The 24 in force of the 26 of Directive 2003/15/EC: read in summaries of Regulation (EU) 2023/1545."""
ADDED_IN_2023 = (
    "Linalyl Acetate;Menthol;Vanillin;Camphor;Carvone;Terpineol;Pinene;Anethole;Benzaldehyde;Lavandula Oil/Extract;Mentha Piperita Oil;"
    "Pogostemon Cablin Oil;Santalol;Rose Ketones;Methyl Salicylate"
)
"""Some of those that Regulation (EU) 2023/1545 added: read in a testing laboratory's summary of it."""


def test_allergens_that_the_law_lists_are_known() -> None:
    """Those of 2003 and those added in 2023 are found by the name that a label bears."""
    listed = [*LISTED_SINCE_2003.split(";"), *ADDED_IN_2023.split(";")]
    assert [find_allergen(name.upper()) for name in listed] == listed
    assert set(listed) <= set(allergen_names())
    assert len(LISTED_SINCE_2003.split(";")) == 24


@pytest.mark.parametrize(("grams", "named"), [(0.153, False), (0.155, True), (3.0, True)])
def test_limonene_of_an_orange_oil_at_the_limit(grams: float, named: bool) -> None:  # noqa: FBT001
    """At 65 % limonene an oil reaches 0.01 % of a kilo of bars with 0.154 g: above it the name stands, below it does not.

    0.01 % of rinse-off products: Regulation (EU) 2023/1545, read in summaries; the sum is arithmetic.
    """
    oil = own_additive("orange", additives()["essential oil"], None)._replace(allergens=(("Limonene", 65.0),))
    recipe = Recipe(((reference().get("olive oil"), 900.0),), 115.0, 0.0, 300.0, ((oil, grams),))
    (found,) = allergens(recipe, 1000.0)
    assert found.is_named is named


def test_an_ounce_is_the_avoirdupois_ounce() -> None:
    """Exactly 28.349523125 g (NIST Handbook 44, Appendix C): the unit in which 21 CFR 701.20(b) wants a bar's weight."""
    assert pytest.approx(28.349523125, rel=1e-12) == Units.OUNCES.grams
