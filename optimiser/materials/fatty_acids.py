"""From fatty acids to figures of the fat, and from the fat to its alkali. Knows acids, no fats and no goals.

A profile maps acid ids ("C12:0", "C18:1-OH") to per cent by mass of the fatty acids; profiles are normalised to 100
before use. The acids and their published factors are data: ``reference/acids.csv``. What happens in the lye jug is in
`optimiser.lye`, whose names are offered here too.
"""

from __future__ import annotations

from functools import cache
from types import MappingProxyType
from typing import TYPE_CHECKING, NamedTuple

from optimiser.materials.lye import KOH, WATER
from optimiser.reference import rows

if TYPE_CHECKING:
    from collections.abc import Mapping

CARBON, HYDROGEN, OXYGEN = 12.011, 1.008, 15.999
"""Atomic weights, g/mol (IUPAC 2021, abridged)."""
GLYCEROL = 3 * CARBON + 8 * HYDROGEN + 3 * OXYGEN
GLYCERYL = GLYCEROL - 3 * WATER
"""What three fatty acids gain in mass when they become one triglyceride, 38.05 g/mol."""
IODINE = 253.81
"""Molar mass of iodine, I2, g/mol: one double bond takes up one."""


class Acid(NamedTuple):
    """A fatty acid C(n) H(2n - 2d) O(2 + h): n carbons, d double bonds, h hydroxyls; molar mass in g/mol."""

    id: str
    name: str
    carbons: int
    double_bonds: int
    hydroxyls: int
    molar_mass: float


def _molar_mass(carbons: int, double_bonds: int, hydroxyls: int) -> float:
    hydrogens = 2 * carbons - 2 * double_bonds
    return carbons * CARBON + hydrogens * HYDROGEN + (2 + hydroxyls) * OXYGEN


@cache
def acids() -> Mapping[str, Acid]:
    """Every acid of the reference table by its id, from the shortest chain to the longest."""
    table = {}
    for row in rows("acids"):
        counts = (int(row["carbons"]), int(row["double_bonds"]), int(row["hydroxyls"]))
        table[row["acid"]] = Acid(row["acid"], row["name"], *counts, molar_mass=_molar_mass(*counts))
    return MappingProxyType(table)


def acid(id: str) -> Acid:  # noqa: A002  # the id is what the tables call it
    """The acid with this id; KeyError for an unknown one."""
    return acids()[id]


def _normal(profile: Mapping[str, float]) -> dict[str, float]:
    """The profile as mass fractions that sum to 1."""
    total = sum(profile.values())
    if not profile or min(profile.values()) < 0 or total <= 0:
        raise ValueError("a profile needs at least one acid, and no negative share")
    return {name: share / total for name, share in profile.items()}


def _glyceride_share(unsaponifiable: float) -> float:
    if not 0 <= unsaponifiable <= 1000:
        raise ValueError(f"unsaponifiable matter lies between 0 and 1000 g/kg, not {unsaponifiable:g}")
    return 1 - unsaponifiable / 1000


def saponification_value(
    profile: Mapping[str, float],
    *,
    unsaponifiable: float = 0.0,
    free: bool = False,
) -> float:
    """Saponification value in mg KOH/g (ISO 3657) that a composition stands for.

    A triglyceride of mean fatty-acid mass M weighs 3 M + 38.05 and takes 3 KOH; unsaponifiable matter, in g/kg, takes
    none. With `free` the acids are free fatty acids, and the figure is their acid value, 56106/M.

    Raises:
        KeyError: an unknown acid.
        ValueError: an empty profile, a negative share, unsaponifiables outside 0-1000 g/kg.
    """
    per_gram = sum(share / acid(name).molar_mass for name, share in _normal(profile).items())
    return _value_of_mean(1 / per_gram, free=free) * _glyceride_share(unsaponifiable)


def _value_of_mean(mean_mass: float, *, free: bool) -> float:
    return 1000 * KOH / mean_mass if free else 3000 * KOH / (3 * mean_mass + GLYCERYL)


def iodine_value(profile: Mapping[str, float], *, unsaponifiable: float = 0.0, free: bool = False) -> float:
    """Iodine value in g I2/100 g by AOCS Cd 1c-85: the acids' shares times their factors.

    The published factors serve the acids that have one; the others get theirs by the same rule, 253.81 d/M for free
    acids and 3 x 253.81 d/(3 M + 38.05) for triglycerides. Unsaponifiable matter (g/kg) counts as taking up no iodine.

    Raises:
        KeyError: an unknown acid.
        ValueError: an empty profile, a negative share, unsaponifiables outside 0-1000 g/kg.
    """
    factors = _iodine_factors(free)
    total = sum(share * factors[name] for name, share in _normal(profile).items())
    return 100 * total * _glyceride_share(unsaponifiable)


@cache
def _iodine_factors(free: bool) -> Mapping[str, float]:  # noqa: FBT001  # a cache key, not a switch for readers
    """Grams of iodine per gram, by acid: as printed in the standard, or by its rule where it prints none."""
    column = "iodine_free" if free else "iodine_triglyceride"
    factors = {}
    for row in rows("acids"):
        this = acid(row["acid"])
        mass = this.molar_mass if free else this.molar_mass + GLYCERYL / 3
        factors[this.id] = float(row[column]) if row[column] else IODINE * this.double_bonds / mass
    return MappingProxyType(factors)


def saponification_range(
    ranges: Mapping[str, tuple[float, float]],
    *,
    unsaponifiable: tuple[float, float] = (0.0, 0.0),
    free: bool = False,
) -> tuple[float, float]:
    """Smallest and largest saponification value (mg KOH/g) over every composition inside the acids' ranges.

    `ranges` in per cent of the fatty acids. The value rises with sum(share/M), which is linear, so the extreme
    composition fills up from the low ends, the heaviest acids first for the smallest value and the lightest first for
    the largest (a linear programme with one equation, solved in closed form). Ranges that cannot sum to 100 % are
    taken at the nearest sum they reach, and normalised. `unsaponifiable` is the range in g/kg.

    Raises:
        KeyError: an unknown acid.
        ValueError: no acids, or a range that is negative or upside down.
    """
    if any(not 0 <= low <= high for low, high in ranges.values()):
        raise ValueError("a range of an acid runs from a low end of at least 0 to a high end")
    heaviest_first = sorted(ranges, key=lambda name: -acid(name).molar_mass)
    least = _filled(ranges, heaviest_first)
    most = _filled(ranges, heaviest_first[::-1])
    return (
        saponification_value(least, unsaponifiable=max(unsaponifiable), free=free),
        saponification_value(most, unsaponifiable=min(unsaponifiable), free=free),
    )


def _filled(ranges: Mapping[str, tuple[float, float]], order: list[str]) -> dict[str, float]:
    """Every acid at its low end, then raised in this order until the sum is 100 or all are at their high end."""
    left = 100 - sum(low for low, _ in ranges.values())
    shares = {}
    for name in order:
        low, high = ranges[name]
        raised = min(high - low, max(left, 0.0))
        shares[name] = low + raised
        left -= raised
    return shares


def glycerol_released(sv: float) -> float:
    """Kilograms of glycerol set free per kg of triglyceride fat of saponification value `sv`: one per three alkalis."""
    return sv * GLYCEROL / (3000 * KOH)


def total_fatty_matter(sv: float) -> float:
    """Fatty acids, kg per kg of triglyceride fat of saponification value `sv`: the fat less 38.05 g per three alkalis.

    Counts the superfat and what cannot be saponified, as the fatty matter of ISO 685 does.
    """
    return 1 - sv * GLYCERYL / (3000 * KOH)


def cox_value(profile: Mapping[str, float]) -> float:
    """Cox value of a composition: (18:1 + 10.3 x 18:2 + 21.6 x 18:3)/100, per cent of the acids, isomers with them.

    Fatemi & Hammond, Lipids 15 (1980) 379-385, relative oxidation rates of the esters (from memory). Ranks, does not date.
    """
    rates = {row["acid"]: float(row["oxidation_rate"]) for row in rows("acids") if row["oxidation_rate"]}
    return sum(share * rates.get(name, 0.0) for name, share in _normal(profile).items())


def fat_density(sv: float, iv: float, temperature: float) -> float:
    """Density of a liquid fat, kg/L: Lund's relation of 1922, SG(15 degC) = 0.8475 + 0.00030 SV + 0.00014 IV.

    As quoted by Pryde, Physical properties of soybean oil; brought from 15 degC to `temperature` at -0.00068 kg/L per
    kelvin (assumed). Water at 15 degC weighs 0.9991 kg/L. Good to about 0.5 % between 15 and 80 degC.

    Raises:
        ValueError: a temperature outside 0-110 degC.
    """
    if not 0 <= temperature <= 110:
        raise ValueError(f"the density of a fat is estimated from 0 to 110 degC, not at {temperature:g} degC")
    return 0.9991 * (0.8475 + 0.00030 * sv + 0.00014 * iv) - 0.00068 * (temperature - 15)
