"""How far a batch pulls each lever from its reference, and what the book gives for it."""

from __future__ import annotations

import math
from collections.abc import Mapping
from functools import cache
from types import MappingProxyType
from typing import NamedTuple

from optimiser.materials import alkali
from optimiser.measures.measures import LEVER_FIELDS, lever_ranges, levers
from optimiser.recipe.bar_values import ORDINARY_DEMAND, amount_of
from optimiser.recipe.evaluation import Recipe, fat_demand, liquid_fat, total_water
from optimiser.reference import rows

KINDS = ("butter", "fatty acid")  # kinds of fat whose points beyond their acids are a prior of their own


class Lever(NamedTuple):
    """One thing that a fit may correct: `span` is how far it is usually pulled, in units of `unit`."""

    name: str
    words: str
    unit: str
    span: float


@cache
def known_levers() -> Mapping[str, Lever]:
    """Everything that a fit may correct, by name."""
    table = {row["lever"]: row for row in rows("lever_spans")}
    additive = table.pop("additive")
    out = {name: Lever(name, row["words"], row["unit"], float(row["span"])) for name, row in table.items()}
    for row in rows("measure_levers"):
        if row["lever"] not in out:
            out[row["lever"]] = Lever(row["lever"], row["lever"], additive["unit"], float(additive["span"]))
    return MappingProxyType(out)


def lever_units(recipe: Recipe) -> Mapping[str, float]:
    """How far each lever is pulled from its reference, in its unit, and no further than to the first end of its range.

    Free oil is counted on the scale of a blend of ordinary demand, as the measures count it.
    """
    kilograms = recipe.fat_grams / 1000.0
    sodium = recipe.sodium_hydroxide * recipe.sodium_purity
    potassium = alkali.alkali_mol(0.0, recipe.potassium_hydroxide * recipe.potassium_purity)
    acid = math.fsum(item.alkali_mol_per_kg * grams / 1000.0 for item, grams in recipe.additives)
    unreacted = fat_demand(recipe) - alkali.alkali_mol(sodium, 0.0) - potassium + acid + liquid_fat(recipe)
    units = {
        "free oil": 100.0 * unreacted / kilograms / ORDINARY_DEMAND - 5.0,
        "water": (total_water(recipe) / kilograms - 280.0) / 10.0,
        "potassium": 100.0 * potassium / kilograms / (0.95 * ORDINARY_DEMAND),
        "batter": (recipe.batter_temperature - 35.0) / 10.0,
        "gel": 1.0 if recipe.gel else 0.0,
    }
    for name in known_levers():
        if name in KINDS:
            weight = math.fsum(grams for fat, grams in recipe.fats if fat.kind == name)
            units[name] = 100.0 * weight / recipe.fat_grams / _per_cent(name)
        elif name not in units:
            units[name] = min(amount_of(recipe, name), lever_ranges()[name].high)
    return units


@cache
def _per_cent(kind: str) -> float:
    """The per cent of the fats that one unit of a kind's lever is."""
    return next(float(row["per_cent"]) for row in rows("lever_spans") if row["lever"] == kind)


def book(measure: str, lever: str) -> float:
    """Points per unit that the book gives a lever on a measure."""
    if lever in KINDS:
        whole = (
            float(row["offset"])
            for row in rows("measure_offsets")
            if row["match"] == "kind" and row["measure"] == measure and lever in row["key"].split("; ")
        )
        return next(whole, 0.0) * _per_cent(lever) / 100.0
    points = levers(measure)
    return float(getattr(points, LEVER_FIELDS[lever])) if lever in LEVER_FIELDS else points.additives.get(lever, 0.0)
