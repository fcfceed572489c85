"""Calculated iodine value against AOCS Cd 1c-85 (Calculated Iodine Value); its factors are from memory."""

from __future__ import annotations

import pytest

from optimiser.materials.fatty_acids import acid, iodine_value

# AOCS Official Method Cd 1c-85: grams of iodine per gram, as printed for triglycerides and for free fatty acids (memory).
FACTORS = {
    "C16:1": (0.950, 0.9976),
    "C18:1": (0.860, 0.8986),
    "C18:2": (1.732, 1.810),
    "C18:3": (2.616, 2.735),
    "C20:1": (0.785, 0.8175),
    "C22:1": (0.723, 0.7497),
}


@pytest.mark.parametrize("name", FACTORS)
def test_published_factors(name: str) -> None:
    """An oil of one acid has a hundred times the published factor, bound or free."""
    bound, free = FACTORS[name]
    assert iodine_value({name: 100.0}) == pytest.approx(100 * bound, abs=1e-6)
    assert iodine_value({name: 100.0}, free=True) == pytest.approx(100 * free, abs=1e-6)


@pytest.mark.parametrize("name", FACTORS)
def test_published_factors_are_those_of_the_formula(name: str) -> None:
    """The printed factors agree with 253.81 x double bonds over molar mass to their last digit, so no digit slipped."""
    found = acid(name)
    bound, free = FACTORS[name]
    assert 253.81 * found.double_bonds / (found.molar_mass + 38.05 / 3) == pytest.approx(bound, abs=6e-4)
    assert 253.81 * found.double_bonds / found.molar_mass == pytest.approx(free, abs=6e-4)


@pytest.mark.parametrize(
    ("name", "factor"),
    [("C17:1", 0.903), ("C20:2", 1.580), ("C22:2", 1.453), ("C24:1", 0.669), ("C14:1", 1.062), ("C10:1", 1.387)],
)
def test_acids_without_a_printed_factor_follow_the_same_rule(name: str, factor: float) -> None:
    """Minor acids take 3 x 253.81 d/(3 M + 38.05), worked out apart from the program to three digits."""
    assert iodine_value({name: 100.0}) == pytest.approx(100 * factor, abs=0.06)


def test_saturated_acids_take_up_no_iodine() -> None:
    """Stearic, palmitic and dihydroxystearic acid have no double bond to take up iodine."""
    assert iodine_value({"C18:0": 50.0, "C16:0": 40.0, "C18:0-diOH": 10.0}) == 0


def test_worked_example_of_a_soybean_oil() -> None:
    """A soybean oil of 10 % palmitic, 4 stearic, 23 oleic, 54 linoleic and 8 linolenic acid (1 % other saturated)."""
    profile = {"C16:0": 10.0, "C18:0": 4.0, "C18:1": 23.0, "C18:2": 54.0, "C18:3": 8.0, "C20:0": 1.0}
    assert iodine_value(profile) == pytest.approx(23 * 0.860 + 54 * 1.732 + 8 * 2.616, abs=1e-6)
    assert 124 <= iodine_value(profile) <= 139  # Codex CXS 210-1999, Table 2, soya bean oil
