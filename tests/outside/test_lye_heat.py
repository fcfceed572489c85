"""Warming of a lye: against a table worked out apart from the program, and bounds that no lye can pass."""

from __future__ import annotations

import pytest

from optimiser.materials.lye import NAOH, WATER, lye_temperature_rise, sodium_hydroxide_solubility

# No-loss rise from 20 degC in kelvin: integral heats of Felder & Rousseau, Elementary Principles of Chemical Processes,
# Table B.10 (from memory; low) and the same moved to Parker's figure at infinite dilution, NSRDS-NBS 2, 1965 (high),
# over Laliberte's specific heats, doi 10.1021/je8008123. Worked out apart from the program.
RISES = {
    25: (69, 72),
    28: (76, 79),
    30: (80, 83),
    33: (84, 88),
    35: (86, 90),
    38: (88, 92),
    40: (88, 93),
    45: (88, 93),
    50: (89, 95),
}


@pytest.mark.parametrize("strength", RISES)
def test_rise_of_sodium_hydroxide(strength: int) -> None:
    """From 25 to 50 % both estimates are within 2 K of the table."""
    low, high = lye_temperature_rise(sodium_g=strength, potassium_g=0, water_g=100 - strength)
    assert low == pytest.approx(RISES[strength][0], abs=2)
    assert high == pytest.approx(RISES[strength][1], abs=2)


@pytest.mark.parametrize(("strength", "most"), [(30, 104), (33, 118)])
def test_potassium_hydroxide_is_bracketed(strength: int, most: float) -> None:
    """The high end is the heat at infinite dilution (CRC Handbook after Parker, 57.61 kJ/mol), the low end 15 % less."""
    low, high = lye_temperature_rise(sodium_g=0, potassium_g=strength, water_g=100 - strength)
    assert high == pytest.approx(most, rel=0.03)
    assert low == pytest.approx(0.85 * high, rel=0.01)


@pytest.mark.parametrize(("mol_water", "kilojoules"), [(3, 28.87), (4, 34.43), (5, 37.74), (10, 42.51), (20, 42.84)])
def test_heat_at_the_points_of_the_table(mol_water: float, kilojoules: float) -> None:
    """At the table's own dilutions the heat stored (rise times about 3.5-3.9 kJ/kg/K) is the table's integral heat."""
    water = mol_water * WATER
    low, _ = lye_temperature_rise(sodium_g=NAOH, potassium_g=0, water_g=water)
    specific_heat = kilojoules / low / (NAOH + water) * 1000
    assert 3.4 <= specific_heat <= 4.0


@pytest.mark.parametrize("strength", [1, 10, 25, 33, 50])
def test_never_more_than_infinite_dilution(strength: int) -> None:
    """No lye gives more heat than the same alkali in endless water: 44.51 kJ/mol (CRC Handbook after Parker)."""
    _, high = lye_temperature_rise(sodium_g=strength, potassium_g=0, water_g=100 - strength)
    assert high <= 44.51 * strength / NAOH / 3.4 * 10


def test_a_lye_of_one_third_comes_near_the_boil() -> None:
    """From 20 degC a 33 % lye made at once without loss passes 100 degC: why it steams, spits and scalds."""
    low, high = lye_temperature_rise(sodium_g=33, potassium_g=0, water_g=67, start=20.0)
    assert 100 < 20 + low < 20 + high < 115


@pytest.mark.parametrize(("temperature", "per_hundred_water"), [(0, 42), (20, 109), (40, 129), (60, 174), (100, 345)])
def test_solubility(temperature: float, per_hundred_water: float) -> None:
    """Grams of sodium hydroxide in 100 g water: CRC Handbook (from memory); 20 degC also Great Soviet Encyclopedia."""
    fraction = sodium_hydroxide_solubility(float(temperature))
    assert 100 * fraction / (1 - fraction) == pytest.approx(per_hundred_water, rel=0.01)
