"""The bar measures and the figures of the fats of a recipe, as plain sums that know nothing of rows or matrices."""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import lru_cache
from itertools import pairwise
from typing import TYPE_CHECKING, NamedTuple

from optimiser.materials import alkali
from optimiser.measures.cure import LONGEST, SHORTEST, USUAL_CURE
from optimiser.measures.measures import Curve, lever_ranges, levers, measures, rests_on
from optimiser.measures.profiles import acid_shares, cure_gains, fat_values, pulling
from optimiser.measures.quantities import quantities

if TYPE_CHECKING:
    from optimiser.materials.fat import Fat
    from optimiser.recipe.evaluation import Recipe

ORDINARY_DEMAND = 3.45  # mol/kg: free oil is counted on the scale of a blend of this demand
NEAR_END = 0.005  # of a range: what a balance blurs at its end
BATCH_FIGURES = {
    "superfat",
    "likely_superfat",
    "worst_case_superfat",
    "lye_concentration",
    "water_share_of_fats",
    "potassium_share",
}
KEPT = 64  # choices of fats: a recipe is judged several times on its way to the balance, and again at every move of a limit


class Chosen:
    """Fats by which objects they are, which never change: what they are alone is worked out once and kept."""

    __slots__ = ("_ids", "fats")

    def __init__(self, fats: Sequence[Fat]) -> None:
        self.fats = tuple(fats)
        self._ids = tuple(map(id, self.fats))  # good for as long as the fats are held here

    def __hash__(self) -> int:
        """By the objects."""
        return hash(self._ids)

    def __eq__(self, other: object) -> bool:
        """Whether they are the same objects in the same order."""
        return isinstance(other, Chosen) and self._ids == other._ids


class Alone(NamedTuple):
    """Figures of each of some fats by itself: a row for a measure, an acid or a group, an entry for a fat."""

    measures: tuple[tuple[float, ...], ...]
    acids: tuple[tuple[float, ...], ...]


@lru_cache(maxsize=KEPT)
def alone(chosen: Chosen) -> Alone:
    """What fats are each by itself: every measure, and every acid and group that goals are set on."""
    points = fat_values(chosen.fats, list(measures()))
    return Alone(tuple(map(tuple, points.tolist())), tuple(map(tuple, acid_shares(chosen.fats, acids_told()).tolist())))


@lru_cache(maxsize=KEPT * 8)
def pulled(chosen: Chosen, lever: str) -> tuple[float, ...]:
    """How much of each fat counts towards a lever."""
    return tuple(pulling(chosen.fats, lever))


def acids_told() -> list[str]:
    """The figures of fatty acids, in their order."""
    return [name for name, known in quantities().items() if known.unit == "%" and name not in BATCH_FIGURES]


def blend_values(recipe: Recipe, unreacted: float, water: float, potassium: float) -> dict[str, float]:
    """Every measure and every figure of the fats; nan for a measure that a lever beyond its range moves.

    Args:
        recipe: what is weighed.
        unreacted: moles of fat left unsaponified per kg fats, the fat of liquids with them.
        water: kg per kg fats.
        potassium: moles of potassium hydroxide per kg fats.
    """
    fats = [fat for fat, _ in recipe.fats]
    parts = [grams / recipe.fat_grams for _, grams in recipe.fats]
    free_oil = 100.0 * unreacted / ORDINARY_DEMAND
    unknown = unknown_measures(recipe, free_oil, 1000.0 * water)
    rested = doublings(recipe.cure_weeks)
    out = {}
    each = alone(Chosen(fats))
    for (name, known), values in zip(measures().items(), each.measures, strict=True):
        own = math.fsum(part * value for part, value in zip(parts, values, strict=True))
        lever = levers(name)
        own += lever.free_oil * (free_oil - 5.0)
        own += lever.water * (1000.0 * water - 280.0) / 10.0
        own += lever.potassium * 100.0 * potassium / (0.95 * ORDINARY_DEMAND)
        own += lever.batter * (recipe.batter_temperature - 35.0) / 10.0 + (lever.gel if recipe.gel else 0.0)
        own += math.fsum(along(curve, amount_of(recipe, added)) for added, curve in lever.curves.items())
        if rested:
            own += rested * math.fsum(
                part * float(gain) for part, gain in zip(parts, cure_gains(fats, name), strict=True)
            )
        out[name] = math.nan if name in unknown else own if known.floor is None else max(own, known.floor)
    out["saponification_value"] = math.fsum(p * fat.saponification.value for p, fat in zip(parts, fats, strict=True))
    out["iodine_value"] = math.fsum(p * fat.iodine.value for p, fat in zip(parts, fats, strict=True))
    for name, row in zip(acids_told(), each.acids, strict=True):
        out[name] = math.fsum(part * value for part, value in zip(parts, row, strict=True))
    return out


def unknown_measures(recipe: Recipe, free_oil: float, water: float) -> frozenset[str]:
    """The measures that nobody knows of such a batch: a lever that moves them lies beyond what was ever tried.

    Args:
        recipe: what is weighed.
        free_oil: per cent, on the scale of a blend of ordinary demand.
        water: g per kg fats.
    """
    sodium = alkali.alkali_mol(recipe.sodium_hydroxide * recipe.sodium_purity, 0.0)
    potassium = alkali.alkali_mol(0.0, recipe.potassium_hydroxide * recipe.potassium_purity)
    part = 100.0 * potassium / (sodium + potassium) if sodium + potassium else 0.0
    pulled = {"free oil": free_oil, "water": water, "potassium": part}
    beyond = (
        rests_on(name)
        for name, value in pulled.items()
        for known in [lever_ranges()[name]]
        if not known.low - NEAR_END * known.high <= value <= known.high + NEAR_END * known.high
    )
    return frozenset().union(*beyond)


def amount_of(recipe: Recipe, lever: str) -> float:
    """How much there is of what a lever counts, in per cent of the fats."""
    fats = [fat for fat, _ in recipe.fats]
    grams = [weight * counts for (_, weight), counts in zip(recipe.fats, pulled(Chosen(fats), lever), strict=True)]
    grams += [weight * item.acts_as(lever) for item, weight in recipe.additives]
    return 100.0 * math.fsum(grams) / recipe.fat_grams


def along(curve: Curve, amount: float) -> float:
    """Points of a curve at an amount: straight between its knots, level beyond the last."""
    for (begun, low), (ended, high) in pairwise(curve):
        if amount < ended:
            return low + (high - low) * (amount - begun) / (ended - begun)
    return curve[-1][1]


def doublings(weeks: float) -> float:
    """How often a cure doubles from the usual one, within what is known of it."""
    return math.log2(min(max(weeks, SHORTEST), LONGEST) / USUAL_CURE)
