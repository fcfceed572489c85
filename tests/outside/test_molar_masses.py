"""Molar masses against molmass, a library of atomic weights of its own."""

from __future__ import annotations

import pytest
from molmass import Formula

from optimiser.materials import fatty_acids as chemistry
from optimiser.materials import lye
from optimiser.materials.fatty_acids import acids

ABRIDGED = 2e-4
"""Five-figure atomic weights stay within this share of the full ones."""


@pytest.mark.parametrize("name", sorted(acids()))
def test_fatty_acids(name: str) -> None:
    """Every fatty acid weighs what its formula C(n)H(2n-2d)O(2+h) weighs elsewhere."""
    found = acids()[name]
    hydrogens = 2 * (found.carbons - found.double_bonds)
    formula = Formula(f"C{found.carbons}H{hydrogens}O{2 + found.hydroxyls}")
    assert found.molar_mass == pytest.approx(formula.mass, rel=ABRIDGED)


@pytest.mark.parametrize(
    ("name", "formula"),
    [
        ("C12:0", "C12H24O2"),
        ("C16:0", "C16H32O2"),
        ("C18:0", "C18H36O2"),
        ("C18:1", "C18H34O2"),
        ("C18:2", "C18H32O2"),
        ("C18:3", "C18H30O2"),
        ("C18:1-OH", "C18H34O3"),
        ("C18:0-OH", "C18H36O3"),
        ("C18:0-diOH", "C18H36O4"),
        ("C18:3c", "C18H30O2"),
        ("C20:4", "C20H32O2"),
        ("C22:1", "C22H42O2"),
    ],
)
def test_formulas_as_handbooks_print_them(name: str, formula: str) -> None:
    """Lauric to erucic acid by the formula that any handbook prints."""
    assert acids()[name].molar_mass == pytest.approx(Formula(formula).mass, rel=ABRIDGED)


@pytest.mark.parametrize(
    ("value", "formula"),
    [
        (lye.NAOH, "NaOH"),
        (lye.KOH, "KOH"),
        (lye.WATER, "H2O"),
        (chemistry.GLYCEROL, "C3H8O3"),
        (chemistry.IODINE, "I2"),
    ],
)
def test_reagents(value: float, formula: str) -> None:
    """Alkalis, water, glycerol and iodine weigh what they weigh elsewhere."""
    assert value == pytest.approx(Formula(formula).mass, rel=ABRIDGED)


def test_triglyceride_gains_the_glyceryl_part() -> None:
    """Three stearic acids become tristearin, C57H110O6, by gaining 38.05 g/mol."""
    assert 3 * acids()["C18:0"].molar_mass + chemistry.GLYCERYL == pytest.approx(
        Formula("C57H110O6").mass, rel=ABRIDGED
    )
    assert pytest.approx(38.05, abs=0.005) == chemistry.GLYCERYL
