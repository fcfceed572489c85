"""How hot a lye gets that is made at once: heat of dissolving, heat of what acids take, and where it boils.

Concentrations are mass fractions of pure alkali, temperatures degrees Celsius. The tables lie in
``reference/lye_heat_of_solution.csv``, ``lye_heat_capacity.csv``, ``lye_boiling_point.csv`` and
``neutralisation_heats.csv``, each figure with its source.
"""

from __future__ import annotations

from functools import cache
from math import inf
from typing import NamedTuple

from optimiser.materials.lye import (
    KOH,
    NAOH,
    POTASSIUM,
    SODIUM,
    WATER,
    inside_the_fit,
    interpolate,
    masses_of,
)
from optimiser.reference import rows

BENCH = 20.0
"""degC of water and alkali before they meet, where nothing else is told."""
_MOLAR = {SODIUM: NAOH, POTASSIUM: KOH}
_CAPACITY_TEMPERATURES = (20, 40, 60, 80, 100)
_ANY_ACID = "any acid"


class MadeAtOnce(NamedTuple):
    """What a lye reaches with no heat lost, low and high estimate, neither beyond the boil; and where it boils. All degC."""

    low: float
    high: float
    boiling_point: float

    @property
    def boils(self) -> bool:
        """Whether the high estimate comes to the boil."""
        return self.high >= self.boiling_point


@cache
def _heats() -> dict[tuple[str, str], tuple[tuple[float, float], ...]]:
    """Heat given off, (mol water per mol alkali, kJ/mol) in rising dilution, by alkali and estimate ("low", "high")."""
    table: dict[tuple[str, str], list[tuple[float, float]]] = {}
    for row in rows("lye_heat_of_solution"):
        point = (float(row["mol_water_per_mol"]), -float(row["kJ_per_mol"]))
        table.setdefault((row["alkali"], row["estimate"]), []).append(point)
    return {name: tuple(points) for name, points in table.items()}


@cache
def _heat_capacities() -> dict[str, tuple[tuple[float, ...], tuple[tuple[float, ...], ...]]]:
    """By alkali: the mass fractions, and for each the specific heats (J/kg/K) at 20, 40, 60, 80 and 100 degC."""
    table: dict[str, tuple[tuple[float, ...], tuple[tuple[float, ...], ...]]] = {}
    for name in _MOLAR:
        own = [row for row in rows("lye_heat_capacity") if row["alkali"] == name]
        fractions = tuple(float(row["percent_by_weight"]) / 100 for row in own)
        values = tuple(tuple(float(row[f"at_{t}_degC"]) for t in _CAPACITY_TEMPERATURES) for row in own)
        table[name] = (fractions, values)
    return table


@cache
def _boiling_points() -> dict[str, tuple[tuple[float, ...], tuple[float, ...]]]:
    """By alkali: the mass fractions, and where each boils under one atmosphere."""
    table: dict[str, tuple[tuple[float, ...], tuple[float, ...]]] = {}
    for name in _MOLAR:
        own = [row for row in rows("lye_boiling_point") if row["alkali"] == name]
        fractions = tuple(float(row["percent_by_weight"]) / 100 for row in own)
        table[name] = (fractions, tuple(float(row["degC"]) for row in own))
    return table


@cache
def _neutralisation_heats() -> dict[str, float]:
    return {row["additive"]: float(row["kJ_per_mol"]) for row in rows("neutralisation_heats")}


def neutralisation_heat(additive: str) -> float:
    """Heat given off by one mole of alkali that this additive takes, kJ/mol, both dissolved.

    An additive of which nothing is known counts as a strong acid, which gives off the most but for a few kJ/mol in a hundred.
    """
    return _neutralisation_heats().get(additive, _neutralisation_heats()[_ANY_ACID])


def heat_of_solution(alkali: str, mol_water: float) -> tuple[float, float]:
    """Heat given off by a mole of alkali that dissolves in so many moles of water, kJ/mol: low and high estimate.

    Straight lines in 1/r (r: mol water per mol) between the points of the table, which runs to infinite dilution; stronger
    than its first point by the slope of the first step, in r.
    """
    return _heat_at(alkali, "low", mol_water), _heat_at(alkali, "high", mol_water)


def _heat_at(alkali: str, estimate: str, mol_water: float) -> float:
    points = _heats()[alkali, estimate]
    (r0, h0), (r1, h1) = points[:2]
    if mol_water < r0:
        return h0 + (mol_water - r0) * (h1 - h0) / (r1 - r0)
    inverse = [0.0 if r == inf else 1 / r for r, _ in reversed(points)]
    return interpolate(1 / mol_water, inverse, [heat for _, heat in reversed(points)])


def lye_boiling_point(*, sodium_g: float, potassium_g: float, water_g: float) -> float:
    """Where a lye boils under one atmosphere, degC; stronger than 50 % as at 50 %.

    Sodium hydroxide: Olsson, Jernqvist & Aly, Int. J. Thermophysics 18 (1997) no. 3. Potassium hydroxide: Balej, Int. J.
    Hydrogen Energy 10 (1985) 233-243. A mixed lye boils where each alkali alone would at all their moles, by its part
    of the moles (no source; both differ by less than 7 degrees).

    Raises:
        ValueError: an amount is negative, or there is no water.
    """
    moles = {name: grams / _MOLAR[name] for name, grams in masses_of(sodium_g, potassium_g, water_g).items()}
    total = sum(moles.values())
    if not total:
        return _boiling_points()[SODIUM][1][0]
    out = 0.0
    for name, part in moles.items():
        alone = total * _MOLAR[name]
        fractions, points = _boiling_points()[name]
        out += part / total * interpolate(alone / (alone + water_g), fractions, points)
    return out


def _heat_capacity(masses: dict[str, float], w: float, temperature: float) -> float:
    """Specific heat of the lye, J/kg/K: of each alkali's own lye of the same strength, by the alkalis' masses."""
    alkali = sum(masses.values())
    total = 0.0
    for name, grams in masses.items():
        fractions, values = _heat_capacities()[name]
        at = [interpolate(temperature, _CAPACITY_TEMPERATURES, row) for row in values]
        total += grams / alkali * interpolate(w, fractions, at)
    return total


def lye_temperature_rise(
    *,
    sodium_g: float,
    potassium_g: float,
    water_g: float,
    start: float = BENCH,
    acid_kj: float = 0.0,
) -> tuple[float, float]:
    """Kelvin by which alkali and water, both at `start`, would warm if they could not boil: low and high estimate.

    The heat is the integral heat of solution at this dilution (`heat_of_solution`) and `acid_kj`, the heat of what acids
    in the water take. The acids' own mass is left out, so that they are told a little too hot. Specific heat: Laliberte,
    doi 10.1021/je8008123, extrapolated above 30 % sodium hydroxide. Two significant figures, no more.

    Raises:
        ValueError: more than 50.3 % alkali (51.9 % where it is all potassium hydroxide), or a start outside 0-60 degC.
    """
    masses = masses_of(sodium_g, potassium_g, water_g)
    if not 0 <= start <= 60:
        raise ValueError(f"the warming of a lye is known for a start from 0 to 60 degC, not {start:g} degC")
    if not masses:
        return 0.0, 0.0
    total = water_g + sum(masses.values())
    w = 1 - water_g / total
    inside_the_fit(BENCH, w, masses)
    moles = {name: grams / _MOLAR[name] for name, grams in masses.items()}
    r = water_g / WATER / sum(moles.values())
    heats = {name: heat_of_solution(name, r) for name in masses}
    low, high = ((acid_kj + sum(moles[name] * heats[name][which] for name in masses)) / total * 1e6 for which in (0, 1))
    return _warmed(low, masses, w, start), _warmed(high, masses, w, start)


def _warmed(joules_per_kg: float, masses: dict[str, float], w: float, start: float) -> float:
    """The rise whose sensible heat (specific heat by Simpson's rule over the way up) equals the heat given off."""
    rise = 0.0
    for _ in range(8):  # the specific heat varies by 2 % over the whole way, so each round wins two digits
        at_ends = _heat_capacity(masses, w, start) + _heat_capacity(masses, w, start + rise)
        rise = joules_per_kg * 6 / (at_ends + 4 * _heat_capacity(masses, w, start + rise / 2))
    return rise


def made_at_once(*, sodium_g: float, potassium_g: float, water_g: float, acid_kj: float = 0.0) -> MadeAtOnce:
    """What a lye reaches that is made at once from 20 degC with no heat lost. It boils, and gets no hotter, where it would.

    Arguments and what is raised as in `lye_temperature_rise`.
    """
    jug = {"sodium_g": sodium_g, "potassium_g": potassium_g, "water_g": water_g}
    boiling_point = lye_boiling_point(**jug)
    low, high = lye_temperature_rise(**jug, acid_kj=acid_kj)
    return MadeAtOnce(min(BENCH + low, boiling_point), min(BENCH + high, boiling_point), boiling_point)
