"""Warming of a lye: against a table worked out apart from the program, and bounds that no lye can pass."""

from __future__ import annotations

import pytest

from optimiser.materials.lye import KOH, NAOH, WATER, sodium_hydroxide_solubility
from optimiser.materials.lye_heat import (
    heat_of_solution,
    lye_temperature_rise,
    made_at_once,
    neutralisation_heat,
)

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
}


@pytest.mark.parametrize("strength", RISES)
def test_rise_of_sodium_hydroxide(strength: int) -> None:
    """From 25 to 45 % both estimates are within 2 K of the table."""
    low, high = lye_temperature_rise(sodium_g=strength, potassium_g=0, water_g=100 - strength)
    assert low == pytest.approx(RISES[strength][0], abs=2)
    assert high == pytest.approx(RISES[strength][1], abs=2)


# Relative apparent enthalpy of sodium hydroxide at 25 degC, kJ/mol, between two dilutions (mol water per mol): the enthalpy
# equation of Olsson, Jernqvist & Aly, Int. J. Thermophysics 18 (1997) no. 3, its coefficients as a public code carries them.
OLSSON = (
    (1288.4485, -4387.8908, 4938.2298, -1841.1890),
    (1.0, -0.49649131, -4.0915144, 7.2887292, -3.0202651),
    (2.3087919, -9.0004252, 167.59914, -1051.6368, 3394.3378, -6115.0986, 6220.8249, -3348.8098, 743.87432),
    (0.02302860, -0.37866056, 2.4529593, -8.2693542, 15.728833, -16.944427, 9.6254192, -2.2410628),
    tuple(
        1e-5 * part
        for part in (-8.5131313, 136.52823, -875.68741, 2920.0398, -5488.2983, 5841.8034, -3278.7483, 754.45993)
    ),
)


def in_powers(coefficients: tuple[float, ...], x: float) -> float:
    """A polynomial, its constant first."""
    return sum(part * x**power for power, part in enumerate(coefficients))


def olsson(mol_water: float, temperature: float = 25.0) -> float:
    """Enthalpy of a mole of sodium hydroxide in so many moles of water, less that of the water, kJ/mol."""

    def per_kilo(water: float) -> float:
        above, below, *rest = (in_powers(part, water) for part in OLSSON)
        return above / below + sum(part * temperature ** (power + 1) for power, part in enumerate(rest))

    water = mol_water * WATER
    mixed = per_kilo(water / (water + NAOH)) * (water + NAOH)
    return (mixed - per_kilo(1.0) * water) / 1000


@pytest.mark.parametrize(("stronger", "weaker"), [(3, 4), (4, 5), (5, 6), (6, 8), (8, 10), (10, 15), (3, 25)])
def test_dilution_of_sodium_hydroxide(stronger: float, weaker: float) -> None:
    """Between two dilutions as much heat comes as by the enthalpies of Olsson, Jernqvist & Aly, to 0.1 kJ/mol."""
    heat = heat_of_solution("sodium hydroxide", weaker)[1] - heat_of_solution("sodium hydroxide", stronger)[1]
    assert heat == pytest.approx(olsson(stronger) - olsson(weaker), abs=0.1)


def test_half_of_it_alkali() -> None:
    """A 50 % lye (2.2 mol water) lies as far below one of 3 mol as Olsson's enthalpies at 37 degC say, where they hold."""
    ours = heat_of_solution("sodium hydroxide", 3)[1] - heat_of_solution("sodium hydroxide", 2.2)[1]
    assert ours == pytest.approx(olsson(2.2, 37.0) - olsson(3, 37.0), abs=0.1)


# Dilution of KOH in 3 mol water to so many, kcal/mol at 18 degC: Thomsen, Thermochemische Untersuchungen III (1883), from
# memory. Beside them those of NaOH in 3 mol water, recalled from the same page: they must agree with Felder & Rousseau.
THOMSEN_KOH = {5: 1.50, 7: 2.10, 9: 2.36, 20: 2.68, 50: 2.74}
THOMSEN_NAOH = {5: 2.13, 20: 3.28}


@pytest.mark.parametrize("mol_water", THOMSEN_KOH)
def test_dilution_of_potassium_hydroxide(mol_water: int) -> None:
    """The high estimate is Thomsen's (from memory); the low one, from Balej's vapour pressures, agrees within 2 kJ/mol."""
    low, high = (
        heat_of_solution("potassium hydroxide", mol_water)[which] - heat_of_solution("potassium hydroxide", 3)[which]
        for which in (0, 1)
    )
    assert high == pytest.approx(4.184 * THOMSEN_KOH[mol_water], abs=0.02)
    assert low == pytest.approx(4.184 * THOMSEN_KOH[mol_water], abs=2.0)


@pytest.mark.parametrize("mol_water", THOMSEN_NAOH)
def test_the_page_recalled_for_potassium_is_right_for_sodium(mol_water: int) -> None:
    """Thomsen's dilutions of NaOH, from the page recalled for KOH, are those of Felder & Rousseau to 0.3 kJ/mol."""
    low = heat_of_solution("sodium hydroxide", mol_water)[0] - heat_of_solution("sodium hydroxide", 3)[0]
    assert low == pytest.approx(4.184 * THOMSEN_NAOH[mol_water], abs=0.3)


# Vapour pressure over potassium hydroxide solutions: Balej, Int. J. Hydrogen Energy 10 (1985) 233-243, coefficients of the
# molality in lg p = a + b lg p(water) as a public code carries them; b less 1.
BALEJ_B = (0.0, -0.0012062, 5.6024e-4, -7.8228e-6)
EVAPORATION = 43.99  # kJ/mol of water at 25 degC (CRC Handbook, from memory)


@pytest.mark.parametrize("mol_water", [3, 4, 5, 6, 8, 10])
def test_low_heat_of_potassium_hydroxide_is_that_of_its_vapour_pressures(mol_water: float) -> None:
    """By Clausius-Clapeyron water in lye has (1 - b) times the heat of evaporation; Gibbs-Duhem makes the alkali's of it."""
    strongest, weakest, steps = 1000 / WATER / mol_water, 2.0, 2000
    wide = (strongest - weakest) / steps
    relative = sum(
        in_powers(BALEJ_B, m) * EVAPORATION / (m * m * WATER / 1000) * wide
        for m in (weakest + (place + 0.5) * wide for place in range(steps))
    )
    low, _ = heat_of_solution("potassium hydroxide", mol_water)
    assert low == pytest.approx(57.61 - 1.0 - relative, abs=0.15)


@pytest.mark.parametrize("strength", [5, 15, 25, 33, 40, 45, 50])
def test_potassium_hydroxide_never_gives_more_than_at_infinite_dilution(strength: int) -> None:
    """57.61 kJ/mol (CRC Handbook after Parker) is the most; at 33 % some 8 % less, at 45 % some 17 % less."""
    r = (100 - strength) / WATER / (strength / KOH)
    low, high = heat_of_solution("potassium hydroxide", r)
    assert 0.70 * 57.61 < low <= high < 57.61


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


# -- acids ---------------------------------------------------------------------------------------------------------------


def test_strong_acids_give_the_heat_of_water() -> None:
    """H+ and OH- to water at 25 degC: -285.83 + 230.0 kJ/mol (MWH Water Treatment, 2012, example 5-5)."""
    assert neutralisation_heat("any acid") == pytest.approx(285.83 - 230.0, abs=0.1)


@pytest.mark.parametrize(
    ("acid", "published"),
    [("acetic acid", 56.2), ("citric acid", 54.9), ("lactic acid", 56.2), ("tartaric acid", 53.8)],
)
def test_weak_acids_differ_a_little(acid: str, published: float) -> None:
    """Less their ionisation by Goldberg, Kishore & Lennen, J. Phys. Chem. Ref. Data 31 (2002) 231 (figures from memory).

    Thomsen (1883, as school books print it) found 55.2 kJ/mol for acetic acid where 57.3 was his for strong ones.
    """
    assert neutralisation_heat(acid) == pytest.approx(published, abs=0.1)
    assert abs(neutralisation_heat(acid) - 55.83) < 2.5


def test_thirty_grams_of_citric_acid_bring_a_strong_lye_to_the_boil() -> None:
    """30 g on 1 kg of fats in a 38 % lye: three protons of 192.12 g/mol at 55 kJ over 3.5 kJ/kg/K, 16 to 19 K more."""
    sodium = 138.0 + 3 * 30 / 192.12 * NAOH
    lye = {"sodium_g": sodium, "potassium_g": 0.0, "water_g": sodium * 62 / 38}
    heat = 3 * 30 / 192.12 * neutralisation_heat("citric acid")
    plain, sour = lye_temperature_rise(**lye)[1], lye_temperature_rise(**lye, acid_kj=heat)[1]
    assert 16 < sour - plain < 19
    assert 124 < 20 + sour < 132
    assert made_at_once(**lye, acid_kj=heat).boils
    assert not made_at_once(**lye).boils
