"""Boiling points of lye against vapour-pressure equations and data sheets that have no part in the program."""

from __future__ import annotations

from math import log, log10

import pytest

from optimiser.materials.lye_heat import lye_boiling_point, made_at_once


def boils(alkali: str, percent: float) -> float:
    """Where a lye of one alkali boils, degC."""
    sodium = alkali == "sodium hydroxide"
    grams = {"sodium_g": percent if sodium else 0.0, "potassium_g": 0.0 if sodium else percent}
    return lye_boiling_point(**grams, water_g=100.0 - percent)


# ln p (kPa) = (a1 + a2 T)/(T - a3), a1 to a3 polynomials of ln(mass fraction of water): Olsson, Jernqvist & Aly, Int. J.
# Thermophysics 18 (1997) no. 3, coefficients as a public code carries them.
A1 = (-113.93947, 209.82305, 494.77153, 6860.8330, 2676.6433, -21740.328, -34750.872, -20122.157, -4102.9890)
A2 = (
    *(16.240074, -11.864008, -223.47305, -1650.3997, -5997.3118, -12318.744, -15303.153, -11707.480),
    *(-5364.9554, -1338.5412, -137.96889),
)
A3 = (
    *(-226.80157, 293.17155, 5081.8791, 36752.126, 131262.00, 259399.54, 301696.22, 208617.90),
    *(81774.024, 15648.526, 906.29769),
)


@pytest.mark.parametrize("percent", [3, 10, 18, 25, 28, 33, 37, 42, 48, 50])
def test_sodium_hydroxide_by_olsson(percent: float) -> None:
    """Straight lines between the points of our table lie within half a degree of the equation."""
    x = log(1 - percent / 100)
    a1, a2, a3 = (sum(part * x**power for power, part in enumerate(each)) for each in (A1, A2, A3))
    theirs = (a1 + a3 * log(101.325)) / (log(101.325) - a2)
    assert boils("sodium hydroxide", percent) == pytest.approx(theirs, abs=0.5)


def balej(a: tuple[float, ...], b: tuple[float, ...], molality: float) -> float:
    """Where lg p = a(m) + b(m) lg p(water) is one atmosphere, degC; p in bar, m in mol/kg water."""
    at_a, at_b = (sum(part * molality ** (power + 1) for power, part in enumerate(each)) for each in (a, b))
    low, high = 370.0, 460.0
    for _ in range(60):
        middle = (low + high) / 2
        water = 35.4462 - 3343.93 / middle - 10.9 * log10(middle) + 4.1645e-3 * middle
        low, high = (middle, high) if at_a + (1 + at_b) * water < log10(1.01325) else (low, middle)
    return low - 273.15


@pytest.mark.parametrize("percent", [3, 10, 18, 25, 28, 33, 37, 42, 48, 50])
def test_potassium_hydroxide_by_balej(percent: float) -> None:
    """Balej, Int. J. Hydrogen Energy 10 (1985) 233-243, coefficients as a public code carries them: within half a degree."""
    a, b = (-0.01508, -0.0016788, 2.25887e-5), (-0.0012062, 5.6024e-4, -7.8228e-6)
    theirs = balej(a, b, 1000 * percent / (100 - percent) / 56.106)
    assert boils("potassium hydroxide", percent) == pytest.approx(theirs, abs=0.5)


@pytest.mark.parametrize("percent", [10, 20, 30, 40])
def test_sodium_hydroxide_by_balej(percent: float) -> None:
    """Balej's other equation, which has no part in our table, agrees on sodium hydroxide within a degree up to 40 %."""
    a, b = (-0.010986, -1.461e-3, 2.03528e-5), (-1.34141e-3, 7.07241e-4, -9.5362e-6)
    theirs = balej(a, b, 1000 * percent / (100 - percent) / 39.997)
    assert boils("sodium hydroxide", percent) == pytest.approx(theirs, abs=1.0)


@pytest.mark.parametrize(
    ("alkali", "percent", "told", "within"),
    [
        ("sodium hydroxide", 50, 145.0, 2.5),  # a maker's data sheet of 50 % solution: approximately 145 degC (read)
        ("sodium hydroxide", 50, 143.0, 4.0),  # handbooks: 142-144 degC (from memory)
        ("potassium hydroxide", 45, 135.0, 2.5),  # handbooks: about 135 degC (from memory)
        ("potassium hydroxide", 50, 145.0, 2.5),  # handbooks: about 145 degC (from memory)
    ],
)
def test_strong_lyes_boil_where_data_sheets_say(alkali: str, percent: float, told: float, within: float) -> None:
    """The strong solutions of commerce, whose boiling points are printed."""
    assert boils(alkali, percent) == pytest.approx(told, abs=within)


def test_a_strong_potassium_lye_is_told_to_boil_and_no_hotter() -> None:
    """45 % potassium hydroxide made at once comes to the boil near 135 degC; no figure beyond that is told."""
    told = made_at_once(sodium_g=0.0, potassium_g=45.0, water_g=55.0)
    assert told.boils
    assert told.low == told.high == pytest.approx(134.0, abs=2.5)
