"""The lye jug: strength, density and solubility of sodium and potassium hydroxide in water; its heat is in `lye_heat`.

Knows alkali and water only. Concentrations are mass fractions of pure alkali, temperatures degrees Celsius. The tables
behind the functions lie in ``reference/lye_*.csv``, each figure with its source.
"""

from __future__ import annotations

from bisect import bisect_right
from functools import cache
from math import exp
from typing import TYPE_CHECKING, NamedTuple

from optimiser.reference import rows

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

NAOH = 39.997
"""Molar mass of sodium hydroxide, g/mol (IUPAC 2021 abridged atomic weights)."""
KOH = 56.106
"""Molar mass of potassium hydroxide, g/mol (IUPAC 2021 abridged atomic weights)."""
WATER = 18.015
"""Molar mass of water, g/mol (IUPAC 2021 abridged atomic weights)."""

SODIUM = "sodium hydroxide"
POTASSIUM = "potassium hydroxide"


class _Fit(NamedTuple):
    """Coefficients of the apparent density of one alkali, and where they hold."""

    c0: float
    c1: float
    c2: float
    c3: float
    c4: float
    lowest: float
    highest: float
    strongest: float


@cache
def _fits() -> dict[str, _Fit]:
    columns = ("c0", "c1", "c2", "c3", "c4", "lowest_degC", "highest_degC", "highest_fraction")
    return {row["alkali"]: _Fit(*(float(row[name]) for name in columns)) for row in rows("lye_density")}


def interpolate(at: float, xs: Sequence[float], ys: Sequence[float]) -> float:
    """Straight lines between the points (xs rising); the end values outside them."""
    if at <= xs[0]:
        return ys[0]
    if at >= xs[-1]:
        return ys[-1]
    k = bisect_right(xs, at)
    part = (at - xs[k - 1]) / (xs[k] - xs[k - 1])
    return ys[k - 1] + part * (ys[k] - ys[k - 1])


def water_density(temperature: float) -> float:
    """Density of water, kg/m3, at 0-100 degC and 1 atm.

    Kell's equation as used by Laliberte & Cooper, J. Chem. Eng. Data 49 (2004) 1141-1151, doi 10.1021/je0498659.
    """
    t = temperature
    above = ((((-2.8054253e-10 * t + 1.0556302e-7) * t - 4.6170461e-5) * t - 0.0079870401) * t + 16.945176) * t
    return (above + 999.83952) / (1 + 0.01687985 * t)


def masses_of(sodium_g: float, potassium_g: float, water_g: float) -> dict[str, float]:
    """Grams by alkali, those that are there.

    Raises:
        ValueError: an amount is negative, or there is no water.
    """
    if min(sodium_g, potassium_g) < 0 or water_g <= 0:
        raise ValueError("a lye has some water, and no amount in it is negative")
    return {name: grams for name, grams in ((SODIUM, sodium_g), (POTASSIUM, potassium_g)) if grams > 0}


def lye_concentration(pure_alkali_g: float, water_g: float) -> float:
    """Mass fraction of alkali in the lye, from the grams of pure alkali and of all water.

    Raises:
        ValueError: an amount is negative, or both are nothing.
    """
    if pure_alkali_g < 0 or water_g < 0 or pure_alkali_g + water_g == 0:
        raise ValueError("a lye concentration needs amounts of alkali and water, neither of them negative")
    return pure_alkali_g / (pure_alkali_g + water_g)


def lye_density(*, sodium_g: float, potassium_g: float, water_g: float, temperature: float = 20.0) -> float:
    """Density of the lye, kg/m3: Laliberte & Cooper's apparent densities of the dissolved alkalis.

    1/rho = (1 - w)/rho_water + sum_i w_i/rho_app,i, with
    rho_app,i = (c0 w + c1) exp(1e-6 (t + c4)^2) / (w + c2 + c3 t), w the mass fraction of all that is dissolved.
    The form: J. Chem. Eng. Data 49 (2004) 1141-1151, doi 10.1021/je0498659; the coefficients: the same journal 54 (2009)
    1725-1760, doi 10.1021/je8008123. Good to about 1 %.

    Raises:
        ValueError: outside the fit: above 50.3 % (sodium) or 51.9 % (potassium hydroxide), below 4 degC, above 120
            (sodium) or 95 degC (potassium hydroxide); a mixed lye must stay inside both.
    """
    masses = masses_of(sodium_g, potassium_g, water_g)
    total = water_g + sum(masses.values())
    w = 1 - water_g / total
    volume = water_g / total / water_density(inside_the_fit(temperature, w, masses))
    for name, grams in masses.items():
        fit = _fits()[name]
        spread = exp(1e-6 * (temperature + fit.c4) ** 2)
        apparent = (fit.c0 * w + fit.c1) * spread / (w + fit.c2 + fit.c3 * temperature)
        volume += grams / total / apparent
    return 1 / volume


def inside_the_fit(temperature: float, w: float, names: Iterable[str]) -> float:
    """The temperature, once temperature and mass fraction are known to lie inside every fit in use.

    Raises:
        ValueError: one of them does not.
    """
    fits = [_fits()[name] for name in names]
    lowest = max((fit.lowest for fit in fits), default=0.0)
    highest = min((fit.highest for fit in fits), default=100.0)
    strongest = min((fit.strongest for fit in fits), default=1.0)
    if not lowest <= temperature <= highest:
        raise ValueError(f"lye density is known from {lowest:g} to {highest:g} degC, not at {temperature:g} degC")
    if w > strongest:
        raise ValueError(f"lye density is known up to {100 * strongest:g} % alkali, not at {100 * w:.1f} %")
    return temperature


def sodium_hydroxide_solubility(temperature: float) -> float:
    """Mass fraction of sodium hydroxide in its saturated solution, 0-100 degC, by straight lines between table points.

    CRC Handbook and others, see ``reference/lye_solubility.csv``. The step between 10 and 20 degC is the change of hydrate.

    Raises:
        ValueError: outside 0-100 degC.
    """
    if not 0 <= temperature <= 100:
        raise ValueError(f"the solubility of sodium hydroxide is known from 0 to 100 degC, not at {temperature:g} degC")
    points = [(float(row["degC"]), float(row["percent_by_weight"]) / 100) for row in rows("lye_solubility")]
    return interpolate(temperature, [t for t, _ in points], [w for _, w in points])
