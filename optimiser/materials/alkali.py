"""Alkali: how much fats and acids take, how much there is, what superfat it leaves."""

from __future__ import annotations

from typing import NamedTuple

from optimiser.materials.lye import KOH, NAOH
from optimiser.reference import rows


def demand(sv: float) -> float:
    """Moles of alkali that saponify 1 kg of a fat of saponification value `sv` (mg KOH/g): sv/56.106 (ISO 3657)."""
    return sv / KOH


class PureAlkali(NamedTuple):
    """Grams of alkali, as pure."""

    sodium_hydroxide: float
    potassium_hydroxide: float


def alkali_needed(
    demand_mol: float,
    *,
    superfat: float,
    potassium_share: float = 0.0,
    acid_mol: float = 0.0,
) -> PureAlkali:
    """Alkali for a charge, in grams as pure: (1 - superfat) of its demand, and all that acids take.

    Args:
        demand_mol: moles that saponify the whole charge.
        superfat: share of that demand left unreacted, a fraction (0.05).
        potassium_share: share of the alkali's moles that is potassium hydroxide, a fraction.
        acid_mol: moles taken by acids such as citric acid, always met in full.

    Raises:
        ValueError: a negative amount, a superfat outside 0 to 1 (5 % is 0.05) or a potassium share outside 0 to 1.
    """
    if demand_mol < 0 or acid_mol < 0:
        raise ValueError("the demand for alkali cannot be negative")
    if not 0 <= superfat <= 1 or not 0 <= potassium_share <= 1:
        raise ValueError(
            f"superfat and potassium share are fractions from 0 to 1 (5 % is 0.05), not {superfat:g} and {potassium_share:g}"
        )
    moles = (1 - superfat) * demand_mol + acid_mol
    return PureAlkali(
        sodium_hydroxide=NAOH * (1 - potassium_share) * moles,
        potassium_hydroxide=KOH * potassium_share * moles,
    )


def alkali_mol(sodium_g: float, potassium_g: float) -> float:
    """Moles of alkali in these grams of pure sodium and potassium hydroxide."""
    return sodium_g / NAOH + potassium_g / KOH


def superfat_left(demand_mol: float, alkali_mol: float, acid_mol: float = 0.0) -> float:
    """Share of the charge's demand that this alkali leaves unreacted; below 0 it is free alkali.

    Acids take their part first. Raises ValueError where the charge demands nothing.
    """
    if demand_mol <= 0:
        raise ValueError("a charge without a demand for alkali has no superfat")
    return 1 - (alkali_mol - acid_mol) / demand_mol


def weighed(pure_g: float, purity: float) -> float:
    """Grams to weigh out for `pure_g` grams of pure alkali, at a purity that is a fraction (0.98).

    Raises:
        ValueError: a purity that is not above 0 and at most 1.
    """
    if not 0 < purity <= 1:
        raise ValueError(f"purity is a fraction above 0 and at most 1 (98 % is 0.98), not {purity:g}")
    return pure_g / purity


def usual_tolerance(name: str, purity: float) -> float:
    """How much purer an alkali may be than its label tells, where nobody says: by the grade, never beyond pure.

    Args:
        name: "sodium hydroxide" or "potassium hydroxide".
        purity: as the label tells it, a fraction.

    Returns a fraction of the whole, as the purity is one: 0.015 for sodium hydroxide of 0.98, which may be 0.995.
    """
    for row in rows("alkali_grades"):
        if row["alkali"] == name and float(row["from"]) <= 100.0 * purity < float(row["below"]):
            return min(float(row["tolerance"]) / 100.0, 1.0 - purity)
    return 0.0
