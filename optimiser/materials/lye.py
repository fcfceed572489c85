"""The lye jug: density, heat of dissolving and solubility of sodium and potassium hydroxide in water.

Knows alkali and water only. Concentrations are mass fractions of pure alkali, temperatures degrees Celsius. The tables
behind the functions lie in ``reference/lye_*.csv``, each figure with its source.
"""

from __future__ import annotations

from bisect import bisect_right
from functools import cache
from math import exp, inf
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

_MOLAR = {SODIUM: NAOH, POTASSIUM: KOH}
_KOH_LOW_SHARE = 0.85
"""Share of the heat at infinite dilution that potassium hydroxide gives at 5-7 mol water per mol: from memory."""


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


@cache
def _heats() -> dict[str, tuple[tuple[float, float], ...]]:
    """Integral heat of solution, (mol water per mol alkali, kJ/mol), by alkali, in rising dilution."""
    table: dict[str, list[tuple[float, float]]] = {}
    for row in rows("lye_heat_of_solution"):
        table.setdefault(row["alkali"], []).append((float(row["mol_water_per_mol"]), float(row["kJ_per_mol"])))
    return {name: tuple(points) for name, points in table.items()}


@cache
def _heat_capacities() -> dict[str, tuple[tuple[float, ...], tuple[tuple[float, ...], ...]]]:
    """By alkali: the mass fractions, and for each the specific heats (J/kg/K) at 20, 40, 60, 80 and 100 degC."""
    table: dict[str, tuple[tuple[float, ...], tuple[tuple[float, ...], ...]]] = {}
    for name in (SODIUM, POTASSIUM):
        own = [row for row in rows("lye_heat_capacity") if row["alkali"] == name]
        fractions = tuple(float(row["percent_by_weight"]) / 100 for row in own)
        values = tuple(tuple(float(row[f"at_{t}_degC"]) for t in _CAPACITY_TEMPERATURES) for row in own)
        table[name] = (fractions, values)
    return table


_CAPACITY_TEMPERATURES = (20, 40, 60, 80, 100)


def _interpolate(at: float, xs: Sequence[float], ys: Sequence[float]) -> float:
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


def _masses(sodium_g: float, potassium_g: float, water_g: float) -> dict[str, float]:
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
    masses = _masses(sodium_g, potassium_g, water_g)
    total = water_g + sum(masses.values())
    w = 1 - water_g / total
    volume = water_g / total / water_density(_inside(temperature, w, masses))
    for name, grams in masses.items():
        fit = _fits()[name]
        spread = exp(1e-6 * (temperature + fit.c4) ** 2)
        apparent = (fit.c0 * w + fit.c1) * spread / (w + fit.c2 + fit.c3 * temperature)
        volume += grams / total / apparent
    return 1 / volume


def _inside(temperature: float, w: float, names: Iterable[str]) -> float:
    """The temperature, once temperature and mass fraction are known to lie inside every fit in use."""
    fits = [_fits()[name] for name in names]
    lowest = max((fit.lowest for fit in fits), default=0.0)
    highest = min((fit.highest for fit in fits), default=100.0)
    strongest = min((fit.strongest for fit in fits), default=1.0)
    if not lowest <= temperature <= highest:
        raise ValueError(f"lye density is known from {lowest:g} to {highest:g} degC, not at {temperature:g} degC")
    if w > strongest:
        raise ValueError(f"lye density is known up to {100 * strongest:g} % alkali, not at {100 * w:.1f} %")
    return temperature


def _heat_at(name: str, mol_water: float) -> tuple[float, float]:
    """Heat given off, kJ per mol of alkali, at `mol_water` mol water per mol: the low and the high estimate."""
    points = _heats()[name]
    if name == POTASSIUM:
        dilute = -points[-1][1]
        return _KOH_LOW_SHARE * dilute, dilute
    newer_scale = points[-1][1] - _heats()[f"{SODIUM}, newer scale"][-1][1]
    (r0, h0), (r1, h1) = points[:2]
    if mol_water < r0:  # stronger than the table: the slope of its first step, in mol water per mol
        heat = h0 + (mol_water - r0) * (h1 - h0) / (r1 - r0)
    else:  # in 1/r, where the table runs to infinite dilution at 0
        inverse = [0.0 if r == inf else 1 / r for r, _ in reversed(points)]
        heat = _interpolate(1 / mol_water, inverse, [h for _, h in reversed(points)])
    return -heat, -heat + newer_scale


def _heat_capacity(masses: dict[str, float], w: float, temperature: float) -> float:
    """Specific heat of the lye, J/kg/K: of each alkali's own lye of the same strength, by the alkalis' masses."""
    alkali = sum(masses.values())
    total = 0.0
    for name, grams in masses.items():
        fractions, values = _heat_capacities()[name]
        at = [_interpolate(temperature, _CAPACITY_TEMPERATURES, row) for row in values]
        total += grams / alkali * _interpolate(w, fractions, at)
    return total


def lye_temperature_rise(
    *,
    sodium_g: float,
    potassium_g: float,
    water_g: float,
    start: float = 20.0,
) -> tuple[float, float]:
    """Kelvin by which alkali and water, both at `start`, would warm with no heat lost: low and high estimate.

    The heat is the integral heat of solution at this dilution, interpolated in 1/r (r: mol water per mol alkali). Sodium
    hydroxide, low: Felder & Rousseau, Elementary Principles of Chemical Processes, Table B.10; high: the same moved to
    Parker's figure at infinite dilution (NSRDS-NBS 2, 1965). Below r = 3 (above 42.5 %) it is extrapolated.
    Potassium hydroxide is only bracketed: Parker's figure at infinite dilution, and 15 % less. Specific heat: Laliberte,
    doi 10.1021/je8008123, extrapolated above 30 % sodium hydroxide. Two significant figures, no more.

    Raises:
        ValueError: more than 50.3 % alkali (51.9 % where it is all potassium hydroxide), or a start outside 0-60 degC.
    """
    masses = _masses(sodium_g, potassium_g, water_g)
    if not 0 <= start <= 60:
        raise ValueError(f"the warming of a lye is known for a start from 0 to 60 degC, not {start:g} degC")
    if not masses:
        return 0.0, 0.0
    total = water_g + sum(masses.values())
    w = 1 - water_g / total
    _inside(20.0, w, masses)
    moles = {name: grams / _MOLAR[name] for name, grams in masses.items()}
    r = water_g / WATER / sum(moles.values())
    heats = {name: _heat_at(name, r) for name in masses}
    low = sum(moles[name] * heats[name][0] for name in masses) / total * 1e6
    high = sum(moles[name] * heats[name][1] for name in masses) / total * 1e6
    return _warmed(low, masses, w, start), _warmed(high, masses, w, start)


def _warmed(joules_per_kg: float, masses: dict[str, float], w: float, start: float) -> float:
    """The rise whose sensible heat (specific heat by Simpson's rule over the way up) equals the heat given off."""
    rise = 0.0
    for _ in range(8):  # the specific heat varies by 2 % over the whole way, so each round wins two digits
        at_ends = _heat_capacity(masses, w, start) + _heat_capacity(masses, w, start + rise)
        rise = joules_per_kg * 6 / (at_ends + 4 * _heat_capacity(masses, w, start + rise / 2))
    return rise


def sodium_hydroxide_solubility(temperature: float) -> float:
    """Mass fraction of sodium hydroxide in its saturated solution, 0-100 degC, by straight lines between table points.

    CRC Handbook and others, see ``reference/lye_solubility.csv``. The step between 10 and 20 degC is the change of hydrate.

    Raises:
        ValueError: outside 0-100 degC.
    """
    if not 0 <= temperature <= 100:
        raise ValueError(f"the solubility of sodium hydroxide is known from 0 to 100 degC, not at {temperature:g} degC")
    points = [(float(row["degC"]), float(row["percent_by_weight"]) / 100) for row in rows("lye_solubility")]
    return _interpolate(temperature, [t for t, _ in points], [w for _, w in points])
