"""Saponification against textbook stoichiometry, ISO 3657 and a handbook of 1908 on the cold process."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from optimiser.materials.alkali import alkali_needed, demand, superfat_left
from optimiser.materials.fat_table import reference
from optimiser.materials.fatty_acids import glycerol_released, saponification_value
from optimiser.materials.lye import NAOH, lye_density

MEASURED = Path(__file__).parent / "data" / "measured_soaps.csv"


def equivalents() -> list[tuple[str, float]]:
    """Saponification equivalents (g of fat per mol alkali) that Simmons & Appleton 1908 measured, by fat."""
    with MEASURED.open(encoding="utf-8", newline="") as table:
        found = [row for row in csv.DictReader(table) if row["quantity"] == "saponification equivalent"]
    return [(row["sample"].partition(":")[0], float(row["value"])) for row in found]


def test_tristearin() -> None:
    """Tristearin, 891.48 g/mol, takes 3 KOH: 188.8 mg KOH/g by the definition of ISO 3657 (mass from textbooks)."""
    assert saponification_value({"C18:0": 100.0}) == pytest.approx(3 * 56106 / 891.48, abs=0.05)


@pytest.mark.parametrize(
    ("acid", "triglyceride"),
    [("C12:0", 638.99), ("C14:0", 723.16), ("C16:0", 807.32), ("C18:1", 885.43), ("C18:2", 879.38), ("C4:0", 302.36)],
)
def test_simple_triglycerides(acid: str, triglyceride: float) -> None:
    """Trilaurin, trimyristin, tripalmitin, triolein, trilinolein, tributyrin: molar masses of handbooks (from memory)."""
    assert saponification_value({acid: 100.0}) == pytest.approx(3 * 56106 / triglyceride, rel=2e-4)


@pytest.mark.parametrize(("acid", "value"), [("C18:0", 197.2), ("C12:0", 280.1), ("C16:0", 218.8), ("C18:1-OH", 188.0)])
def test_acid_values_of_pure_acids(acid: str, value: float) -> None:
    """56106 over the molar mass: 197.2 for stearic acid, as every handbook has it (from memory)."""
    assert saponification_value({acid: 100.0}, free=True) == pytest.approx(value, abs=0.1)


def test_reaction_of_tristearin_in_grams() -> None:
    """C57H110O6 + 3 NaOH: 100 g takes 13.46 g, and sets 10.33 g of glycerol free."""
    value = saponification_value({"C18:0": 100.0})
    needed = alkali_needed(demand(value) * 0.1, superfat=0.0)
    assert needed.sodium_hydroxide == pytest.approx(13.46, abs=0.005)
    assert 100 * glycerol_released(value) == pytest.approx(10.33, abs=0.005)


def test_alkali_per_gram_is_the_ratio_of_the_hydroxides() -> None:
    """Sodium hydroxide per gram is the saponification value times 0.71289/1000, the ratio of the molar masses."""
    assert alkali_needed(demand(190.0), superfat=0.0).sodium_hydroxide == pytest.approx(190 * 0.71289, rel=1e-4)


@pytest.mark.parametrize(("fat", "equivalent"), equivalents(), ids=[name for name, _ in equivalents()])
def test_handbook_of_1908(fat: str, equivalent: float) -> None:
    """Samples of 1908 took within 4 % of the alkali that the reference figure asks for (Simmons & Appleton, ch. III)."""
    assert reference().get(fat).saponification.value == pytest.approx(56106 / equivalent, rel=0.04)


def test_cold_process_rule_of_1908_leaves_no_free_alkali() -> None:
    """Half a part of lye of 38 degrees Baume to one of coconut oil (Simmons & Appleton 1908) leaves some superfat.

    38 degrees Baume is a specific gravity of 145/(145 - 38) = 1.355; the strength follows from the density of lye.
    """
    wanted = 145 / (145 - 38) * 999.0
    low, high = 0.2, 0.5
    for _ in range(40):
        w = (low + high) / 2
        lighter = lye_density(sodium_g=w, potassium_g=0, water_g=1 - w, temperature=15.5) < wanted
        low, high = (w, high) if lighter else (low, w)
    assert w == pytest.approx(0.325, abs=0.01)  # trade tables: 38 degrees Baume is 32-33 % (from memory)
    moles = 500 * w / NAOH
    coconut = reference().get("coconut oil").saponification
    assert 0 < superfat_left(demand(coconut.low), moles) < superfat_left(demand(coconut.value), moles) < 0.15
