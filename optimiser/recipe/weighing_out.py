"""What is to be weighed out, what comes of it, and what a recipe on the steps of a balance misses of the rows."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from typing import NamedTuple

from optimiser.materials import alkali as moles
from optimiser.maths.arrays import Vector
from optimiser.model.programme import Programme
from optimiser.model.rows import Row
from optimiser.problem.goals import GoalSheet
from optimiser.problem.house_rules import gives_way
from optimiser.problem.money import Prices
from optimiser.problem.wishes import Section, WishId
from optimiser.recipe.compliance import small_step, verdicts
from optimiser.recipe.evaluation import Recipe, judge
from optimiser.recipe.rounding import (
    FORGIVEN,
    UNWEIGHED,
    Grams,
    broken,
    point_of,
    recipe_of,
    slack_of_alkali,
)

WISHED = frozenset({Section.PREFER, Section.USE_UP})  # what is met as far as it can be
LEFT_OUT = 1e-6  # kg of stock: what weights told to the milligram may be over it


class Missed(NamedTuple):
    """A wish that a weighed recipe misses, by so many natural steps beyond its limit.

    `rank` is 0 for the maker's own, 1 for one that gives way, 2 for a preference that the blend reaches.
    """

    wish: WishId
    by: float
    rank: int


Judging = Callable[[Recipe], list[Missed]]


class WeighedOut(NamedTuple):
    """A recipe for the balance: its step for fats in grams, what it misses, and how many searches were asked (0: rounded to the nearest)."""

    recipe: Recipe
    step: float
    missed: tuple[Missed, ...] = ()
    searches: int = 0


class Task(NamedTuple):
    """What is to be weighed out: the rows, the blend in grams, purities, and by whom it is judged; steps for fats and the rest."""

    programme: Programme
    grams: Grams
    purities: tuple[float, float]
    sheet: GoalSheet | None
    money: Prices | None
    balance: tuple[float, float]

    @property
    def exact(self) -> Recipe:
        """The blend as a recipe, not rounded."""
        return recipe_of(self.programme.columns, self.grams, self.purities)

    def recipe(self, fats: Vector, water: float | None = None, additives: Vector | None = None) -> Recipe:
        """The recipe of rounded fats: the alkali follows them in the blend's own proportion, beside what acids take, and goes down."""
        fixed, rate = self.follows
        columns, grams = self.programme.columns, self.grams
        mol = fixed + rate * float(columns.fat_demand[: columns.count] @ fats)
        factor = mol / moles.alkali_mol(grams.sodium_pure, grams.potassium_pure)
        made = Grams(
            *(fats, grams.sodium_pure * factor, grams.potassium_pure * factor),
            grams.water if water is None else water,
            grams.additives if additives is None else additives,
        )
        return recipe_of(columns, made, self.purities, self.balance)

    @property
    def follows(self) -> tuple[float, float]:
        """Moles of alkali: what is the acids', and what goes with a mol that the fats take."""
        columns, grams = self.programme.columns, self.grams
        present = moles.alkali_mol(grams.sodium_pure, grams.potassium_pure)
        acid = float(columns.acid_mol[columns.additive_places] @ grams.additives) / 1000.0
        return acid, (present - acid) / float(columns.fat_demand[: columns.count] @ grams.fats)


# -- judging -------------------------------------------------------------------------------------------------------


def judged_by(task: Task) -> Judging:
    """Who says what a recipe misses: the judge, where there are goals, else the rows; stock and preferences are rows always."""
    programme, sheet = task.programme, task.sheet
    stock = [row for row in programme.rows if row.wish.section == Section.STOCK]
    wished = preferred(task)
    rows = [row for row in programme.rows if row.origin not in UNWEIGHED and row.wish.section != Section.STOCK]

    def missed(recipe: Recipe) -> list[Missed]:
        point = point_of(programme.columns, recipe)
        kilos = {fat.name: grams / 1000.0 for fat, grams in recipe.fats}
        out = [
            Missed(row.wish, (kilos.get(row.figure, 0.0) - row.limit) / row.scale, 0)
            for row in stock
            if kilos.get(row.figure, 0.0) > row.limit + LEFT_OUT
        ]
        out += [
            Missed(row.wish, row.shortfall(point) / row.scale, 2)
            for row, reached in wished
            if row.shortfall(point) > reached + FORGIVEN * row.scale
        ]
        if sheet is None:
            room = slack_of_alkali(recipe)
            return out + [
                Missed(row.wish, broken(row, point, room) / row.scale, 0)
                for row in rows
                if broken(row, point, room) > FORGIVEN * row.scale
            ]
        scales = {row.wish: row.scale for row in programme.rows}
        return out + [
            Missed(
                item.id,
                abs(item.value - item.limit.value) / scales.get(item.id, 1.0) if math.isfinite(item.value) else 1.0,
                int(gives_way(sheet, item.id)),
            )
            for item in verdicts(sheet, recipe, judge(recipe, task.money))
            if not item.holds
        ]

    return missed


def blurred(task: Task, recipe: Recipe) -> list[Missed]:
    """The maker's own goals that a recipe keeps only to within what a balance blurs, beyond the digits they are written in."""
    sheet = task.sheet
    if sheet is None:
        return []
    return [
        Missed(item.id, abs(item.value - item.limit.value) / small_step(item.limit), 0)
        for item in verdicts(sheet, recipe, judge(recipe, task.money))
        if item.blurred
    ]


def preferred(task: Task) -> list[tuple[Row, float]]:
    """The rows of the maker's preferences and of what is to be used up, each with how far the blend itself falls short of it."""
    rows = [row for row in task.programme.rows if row.wish.section in WISHED]
    point = point_of(task.programme.columns, task.exact) if rows else None
    return [] if point is None else [(row, row.shortfall(point)) for row in rows]


def badness(missed: Sequence[Missed]) -> tuple[float, ...]:
    """By how much a recipe misses what the maker asks, then what gives way, then what is preferred: the less the better."""
    return tuple(round(math.fsum(item.by for item in missed if item.rank == rank), 9) for rank in (0, 1, 2))
