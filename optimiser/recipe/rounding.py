"""From shares to grams for the balance: alkali never rounded up, acids never down; each weight to its nearest step.

Where that breaks a wish, `repair` looks for other steps.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from optimiser.maths.arrays import Vector
from optimiser.model.columns import Columns
from optimiser.model.pot import batter, volume
from optimiser.model.rows import Row
from optimiser.problem.batch import Batch
from optimiser.problem.places import Span
from optimiser.problem.units import Units
from optimiser.problem.wishes import Origin
from optimiser.recipe.balance import FINE, down, near, steps, up, written_whole
from optimiser.recipe.evaluation import Recipe
from optimiser.recipe.weights import step_told

COARSEST = 5.0  # steps of the balance that the alkali must at least come to
LEEWAY = 20.0  # times as much alkali in one blend as in another: 0.1 and 0.25 kg/kg of fats are far apart already
DUST = 1e-8  # share below which a fat is not weighed: what the solver's tolerance leaves
SUPERFATS = ("superfat", "likely_superfat", "worst_case_superfat")
FORGIVEN = 0.02  # of a row's natural scale: rounding this small breaks nothing
UNWEIGHED = (Origin.PHYSICS, Origin.PREFERENCE, Origin.COUNT)  # origins of rows that no rounding is held against


class TooCoarse(Exception):
    """The alkali is less than the balance can weigh out: its step and the alkali in grams, and where the balance was told."""

    def __init__(self, step: float, alkali: float, span: Span | None, units: Units = Units.GRAMS) -> None:
        super().__init__(f"a balance that reads {step_told(units, step)} cannot weigh out {alkali:.3g} g of alkali")
        self.span = span


class Grams(NamedTuple):
    """A blend in grams for a batch: fats (n), pure alkalis, water to weigh, additives (k)."""

    fats: Vector
    sodium_pure: float
    potassium_pure: float
    water: float
    additives: Vector

    @property
    def total(self) -> float:
        """All fats."""
        return float(self.fats.sum())


def fats_for(columns: Columns, point: Vector) -> float:
    """Kilograms of fats that the batch asks for at a blend."""
    batch, blend = columns.batch, point[: columns.size]
    if batch.fats_kg is not None:
        return batch.fats_kg
    if batch.mould is not None:
        return batch.mould.litres / float(volume(columns) @ blend)
    if batch.batter_kg is not None:
        return batch.batter_kg / float(batter(columns) @ blend)
    return (batch.bars or 1) * batch.cured_weight_kg / float(columns.cured @ blend)


def exact_grams(columns: Columns, point: Vector) -> Grams:
    """The blend itself in grams, without rounding but for what is only the solver's dust."""
    shares = np.where(point[: columns.count] < DUST, 0.0, point[: columns.count])
    shares = shares / shares.sum()
    size = 1000.0 * fats_for(columns, point)
    blend = point[: columns.size] * size
    brought = float(columns.water_brought @ blend)
    return Grams(
        fats=shares * size,
        sodium_pure=float(blend[columns.index["sodium hydroxide"]]),
        potassium_pure=float(blend[columns.index["potassium hydroxide"]]),
        water=max(0.0, float(blend[columns.index["water"]]) - brought),
        additives=blend[columns.additive_places],
    )


def recipe_of(
    columns: Columns, grams: Grams, purities: tuple[float, float], balance: tuple[float, float] = (0.0, 0.0)
) -> Recipe:
    """The recipe to weigh, for the steps of a balance: for fats, which are rounded already, and for the rest.

    Alkali goes down to its step, acids up, water and the rest to the nearest; without a balance all are exact.
    """
    coarse, fine = balance
    sodium, potassium = purities
    sodium_purest, potassium_purest = columns.shelf.purest
    additives = [
        (item, up(amount, fine) if item.alkali_mol_per_kg > 0 else near(amount, fine))
        for item, amount in zip(columns.additives, grams.additives.tolist(), strict=True)
        if amount > DUST * grams.total
    ]
    fats = [(fat, amount) for fat, amount in zip(columns.fats, grams.fats.tolist(), strict=True) if amount > 0]
    return Recipe(
        fats=tuple((fat, written_whole(amount) if coarse else amount) for fat, amount in fats),
        sodium_hydroxide=down(grams.sodium_pure / sodium, fine),
        potassium_hydroxide=down(grams.potassium_pure / potassium, fine),
        water=near(grams.water, fine),
        additives=tuple(additives),
        sodium_purity=sodium,
        potassium_purity=potassium,
        batter_temperature=columns.batch.batter_temperature,
        gel=columns.batch.gel,
        cured_water=columns.batch.cured_water,
        cure_weeks=columns.batch.cure_weeks,
        sodium_purest=sodium_purest,
        potassium_purest=potassium_purest,
        fat_step=coarse,
        alkali_step=fine,
        units=columns.batch.units,
    )


def rounded_fats(grams: Vector, step: float) -> Vector:
    """Grams rounded to a step so that their sum is the rounded sum (largest remainders first)."""
    counts = np.floor(grams / step + 1e-9)
    missing = round(float(grams.sum()) / step) - int(counts.sum())
    order = np.argsort(-(grams / step - counts), kind="stable")
    counts[order[: max(0, missing)]] += 1
    return np.where(grams > 0, np.maximum(counts, 1.0), 0.0) * step


def may_be_coarse(columns: Columns, point: Vector) -> bool:
    """Whether at some blend the balance may be too coarse for the alkali; `point` is any blend.

    Fats differ in the alkali that they take, and superfats with them, but by far less than `LEEWAY`.
    """
    grams = exact_grams(columns, point)
    _, fine = steps(columns.batch, grams.total)
    return grams.sodium_pure + grams.potassium_pure < LEEWAY * COARSEST * fine


def refuse_coarse(batch: Batch, grams: Grams, fine: float) -> None:
    """A balance whose one step is more than all the alkali weighs nothing out.

    Raises:
        TooCoarse: it is.
    """
    alkali = grams.sodium_pure + grams.potassium_pure
    if alkali < COARSEST * fine:
        raise TooCoarse(
            fine, alkali, batch.scale_span or batch.span, batch.units if batch.scale_g is None else Units.GRAMS
        )


def slack_of_alkali(recipe: Recipe) -> float:
    """Per cent of superfat that rounding alkali down may add."""
    alkali = recipe.sodium_hydroxide + recipe.potassium_hydroxide
    return 100.0 * FINE / alkali if alkali else 0.0


def broken(row: Row, point: Vector, down: float) -> float:
    """By how much a wish is broken; a superfat above its limit by no more than alkali rounded down is not."""
    short = row.shortfall(point)
    above = row.figure in SUPERFATS and row.value(point) > row.limit
    return max(0.0, short - down) if above else short


def point_of(columns: Columns, recipe: Recipe) -> Vector:
    """A recipe as a point over the columns, kg per kg fats."""
    point = columns.zeros()
    total = recipe.fat_grams
    for fat, grams in recipe.fats:
        point[columns.index[fat.name]] = grams / total
    point[columns.index["sodium hydroxide"]] = recipe.sodium_hydroxide * recipe.sodium_purity / total
    point[columns.index["potassium hydroxide"]] = recipe.potassium_hydroxide * recipe.potassium_purity / total
    for item, grams in recipe.additives:
        point[columns.index[item.name]] = grams / total
    water = recipe.water / total + float(columns.water_brought @ point)
    point[columns.index["water"]] = water
    return columns.lot_spread.lifted(point)
