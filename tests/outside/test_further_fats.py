"""Fats that a shelf holds less often against what was read of them elsewhere, typed in here apart from the tables.

Monographs and standards: Ph. Eur. 0868 (medium-chain triglycerides), USP 29-NF 24 (hydrogenated castor oil), 21 CFR
172.890 (rice bran wax), AGMARK (niger seed oil), each read in a public restatement. Food table: USDA Standard Reference 28
(2015), grams of acid per 100 g. Abstracts are named beside the figures.
"""

from __future__ import annotations

import pytest

from optimiser.materials.fat_table import reference
from optimiser.materials.fatty_acids import acid, iodine_value, saponification_value
from optimiser.measures.measures import ACID_GROUPS

# USDA Standard Reference 28, g per 100 g: fat of ours, item, all acids together, the larger ones. The last
# five are where our typical acids come from: of them it shows only that they were carried over rightly.
PALM_KERNEL = "hydrogenated palm kernel oil"
FOOD_TABLE: tuple[tuple[str, str, float, dict[str, float]], ...] = (
    (
        PALM_KERNEL,
        "04657, 95 degree hard butter",
        93.96,
        {"C8:0": 3.873, "C10:0": 3.125, "C12:0": 42.515, "C14:0": 14.782, "C16:0": 8.173, "C18:0": 20.585},
    ),
    (
        PALM_KERNEL,
        "04658, intermediate grade",
        93.92,
        {"C8:0": 3.26, "C10:0": 3.157, "C12:0": 48.445, "C14:0": 16.205, "C16:0": 7.696, "C18:0": 13.477},
    ),
    (
        PALM_KERNEL,
        "04660, whipped toppings",
        93.9,
        {"C8:0": 3.895, "C10:0": 3.322, "C12:0": 45.314, "C14:0": 13.916, "C16:0": 7.353, "C18:0": 14.561},
    ),
    (
        PALM_KERNEL,
        "04663, filling fat",
        93.92,
        {"C8:0": 3.76, "C10:0": 3.291, "C12:0": 44.702, "C14:0": 14.094, "C16:0": 7.664, "C18:0": 14.319},
    ),
    (
        "high oleic rapeseed oil",
        "04678, high oleic canola",
        95.6,
        {
            "C16:0": 3.437,
            "C18:0": 1.918,
            "C18:1": 69.97,
            "C18:2": 14.501,
            "C18:3": 2.597,
            "C20:0": 0.674,
            "C20:1": 1.348,
        },
    ),
    (
        "ucuuba butter",
        "04573, ucuhuba butter",
        94.8,
        {"C12:0": 12.2, "C14:0": 63.4, "C16:0": 8.6, "C18:0": 1.0, "C18:1": 6.7, "C18:2": 2.9},
    ),
    (
        "watermelon seed oil",
        "12174, watermelon seed kernels",
        45.21,
        {"C16:0": 5.413, "C18:0": 4.299, "C18:1": 7.317, "C18:2": 28.094},
    ),
    (
        "ostrich oil",
        "05641, ostrich, ground",
        5.737,
        {"C16:0": 1.648, "C16:1": 0.421, "C18:0": 0.477, "C18:1": 2.195, "C18:2": 0.777, "C18:3": 0.056},
    ),
    (
        "deer tallow",
        "17343, deer, ground",
        5.091,
        {"C14:0": 0.215, "C16:0": 1.326, "C16:1": 0.107, "C18:0": 1.61, "C18:1": 1.197, "C18:2": 0.225},
    ),
)
NOT_FULLY = {
    # Hydrogenated in part: oleic and elaidic, in our fat stearic, stand beside the stearic of these two.
    "04660, whipped toppings": 4.934,
    "04663, filling fat": 5.705,
}


ITEMS = [item for _, item, *_ in FOOD_TABLE]


@pytest.mark.parametrize(("name", "item", "together", "grams"), FOOD_TABLE, ids=ITEMS)
def test_a_food_table_lies_inside_the_ranges(name: str, item: str, together: float, grams: dict[str, float]) -> None:
    """Every larger acid of the food table's fat, in % of all its acids, lies in our range, to a tenth of a point."""
    told = grams | {"C18:0": grams["C18:0"] + NOT_FULLY.get(item, 0.0)}
    ranges = reference().get(name).acid_ranges
    for one, mass in told.items():
        low, high = ranges[one]
        assert low - 0.1 <= 100 * mass / together <= high + 0.1, (one, 100 * mass / together)


@pytest.mark.parametrize(("name", "item", "together", "grams"), FOOD_TABLE, ids=ITEMS)
def test_the_alkali_of_a_food_tables_acids_is_ours(
    name: str, item: str, together: float, grams: dict[str, float]
) -> None:
    """The saponification value of those acids, less our unsaponifiables, lies within 2 % of the working value."""
    assert sum(grams.values()) == pytest.approx(together, rel=0.1)
    told = grams | {"C18:0": grams["C18:0"] + NOT_FULLY.get(item, 0.0)}
    fat = reference().get(name)
    theirs = saponification_value(told, unsaponifiable=fat.unsaponifiable.value)
    assert fat.saponification.low < theirs < fat.saponification.high
    assert theirs == pytest.approx(fat.saponification.value, rel=0.02)


# What the typical acids must give: fat, saponification value, iodine value
STANDARDS = [
    ("fractionated coconut oil", (310, 360), (0, 1)),  # Ph. Eur. 0868 (read)
    ("hydrogenated castor oil", (176, 182), (0, 5)),  # USP 29-NF 24 (read)
    ("niger seed oil", (189, 193), (110, 135)),  # AGMARK, refined (read)
    ("pracaxi oil", (175, 188), (50, 77)),  # a Brazilian producer's specification (read)
    ("watermelon seed oil", (190, 198), (115, 125)),  # Solvent Extractors' Association of India 2009 (second-hand)
]


@pytest.mark.parametrize(("name", "saponification", "iodine"), STANDARDS, ids=[name for name, *_ in STANDARDS])
def test_typical_acids_meet_the_standard(
    name: str, saponification: tuple[float, float], iodine: tuple[float, float]
) -> None:
    """Both values, worked out from the typical acids less unsaponifiables, lie in the limits that were read."""
    fat = reference().get(name)
    own = saponification_value(fat.acids, unsaponifiable=fat.unsaponifiable.value)
    assert saponification[0] <= own <= saponification[1]
    assert iodine[0] <= iodine_value(fat.acids) <= iodine[1]


def test_medium_chain_triglycerides_of_the_pharmacopoeia() -> None:
    """Ph. Eur. 0868 (read): C6 at most 2, C8 50-80, C10 20-50, C12 at most 3 %, C8 and C10 95 % and more together."""
    acids = reference().get("fractionated coconut oil").acids
    assert acids["C6:0"] <= 2
    assert 50 <= acids["C8:0"] <= 80
    assert 20 <= acids["C10:0"] <= 50
    assert acids["C12:0"] <= 3
    assert acids["C8:0"] + acids["C10:0"] >= 95


def test_hydroxyl_value_of_hydrogenated_castor_oil() -> None:
    """USP 29-NF 24 (read): 154-162 mg KOH/g, which the hydroxyls of the typical acids give, one KOH each."""
    shares = reference().get("hydrogenated castor oil").acids
    moles = sum(share / 100 / acid(name).molar_mass for name, share in shares.items())
    hydroxyls = sum(acid(name).hydroxyls * share / 100 / acid(name).molar_mass for name, share in shares.items())
    glyceride = (1 + moles / 3 * 38.05) / moles  # grams of triglyceride for each mole of acid
    assert 154 <= 56106 * hydroxyls / moles / glyceride <= 162


def test_free_acid_and_iodine_of_rice_bran_wax() -> None:
    """21 CFR 172.890 (read): free fatty acids 10 % at most (as oleic, 1.99 mg KOH/g each), iodine number 20 at most."""
    wax = reference().get("rice bran wax")
    assert wax.saponification.high <= 10 * 56.106 / 28.2446
    assert wax.iodine.high <= 20
    esters = next(fact for fact in wax.facts if fact.property == "saponification_value")
    assert (esters.low, esters.high) == (75, 120)


def test_classes_of_acids_of_ostrich_oil() -> None:
    """Soliman et al., Egypt. J. Chem. 60 (2017), second-hand: saturated 36.5, one double bond 46.8, more 18.2 %."""
    acids = reference().get("ostrich oil").acids
    for group, told in (("saturated", 36.51), ("monounsaturated", 46.75), ("polyunsaturated", 18.24)):
        assert sum(acids.get(name, 0.0) for name in ACID_GROUPS[group]) == pytest.approx(told, abs=3)


def test_measured_cherry_pit_oil() -> None:
    """Korlesky et al., J. Am. Oil Chem. Soc. 93 (2016) 995, abstract (read): saponification value 193, 0.72 % unsaponifiable."""
    fat = reference().get("cherry kernel oil")
    assert fat.saponification.low < 193 < fat.saponification.high
    assert fat.saponification.value == pytest.approx(193, rel=0.015)
    assert fat.unsaponifiable.value == pytest.approx(7.2)


def test_sea_buckthorn_of_two_subspecies() -> None:
    """Yang & Kallio, J. Agric. Food Chem. 49 (2001) 1939, abstract (read): 18:2 and 18:3 about 70 % of the seed's acids.

    Palmitoleic acid 12.1-39.0 % of the pulp's and practically none of the seed's.
    """
    seed, pulp = reference().get("sea buckthorn seed oil").acids, reference().get("sea buckthorn pulp oil").acids
    assert seed["C18:2"] + seed["C18:3"] == pytest.approx(70, abs=4)
    assert seed["C16:1"] < 1.5
    assert 12.1 <= pulp["C16:1"] <= 39.0


# linolenic, linoleic, % of the acids, from abstracts (read)
SACHA_INCHI = [
    ("Yunnan, Grasas y Aceites", 43.5, 39.6),
    ("Vietnam, Asian J. Chem. 32 (2020)", 36.32, 42.62),
    ("Thailand, Asian Pac. J. Trop. Biomed. 7 (2017) 1092", 44.0, 35.0),
]


@pytest.mark.parametrize(("oil", "linolenic", "linoleic"), SACHA_INCHI, ids=[oil for oil, *_ in SACHA_INCHI])
def test_sacha_inchi_oils_of_three_countries(oil: str, linolenic: float, linoleic: float) -> None:
    """Each lies in the ranges; one iodine value was measured (Vietnam, 192.4) and ours is within 3 % of it."""
    fat = reference().get("sacha inchi oil")
    for name, share in (("C18:3", linolenic), ("C18:2", linoleic)):
        low, high = fat.acid_ranges[name]
        assert low <= share <= high, oil
    assert fat.iodine.value == pytest.approx(192.4, rel=0.03)


def test_green_coffee_oil() -> None:
    """Dong et al., Ultrason. Sonochem. 74 (2021) 105578 (read): linoleic 40.7-43.8, palmitic 36.6-38.7 %."""
    acids = reference().get("coffee oil").acids
    assert 40.67 <= acids["C18:2"] <= 43.77
    assert 36.57 <= acids["C16:0"] <= 38.71


def test_plum_kernel_oil_pressed_and_by_carbon_dioxide() -> None:
    """Acta Chim. Slov. 67 (2020) 778 (read): oleic 65.9-68.7, linoleic 22.2-25.4 %."""
    acids = reference().get("plum kernel oil").acids
    assert 65.86 <= acids["C18:1"] <= 68.66
    assert 22.24 <= acids["C18:2"] <= 25.44


def test_erucic_acid_of_crambe() -> None:
    """Australian Farm Diversification Information Service 2002 (second-hand): 55-60 % erucic acid.

    With it the saponification value lies under that of any other liquid oil of the table but meadowfoam's.
    """
    fat = reference().get("crambe oil")
    assert 55 <= fat.acids["C22:1"] <= 60
    liquid = [reference().get(name) for name in reference().names() if reference().get(name).kind == "liquid oil"]
    lowest = sorted(liquid, key=lambda one: one.saponification.value)[:2]
    assert {one.name for one in lowest} == {"crambe oil", "meadowfoam seed oil"}
