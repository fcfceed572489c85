"""Rounding by a search over whole steps against scipy's milp on the same integer model, and against every recipe tried one by one.

scipy.optimize.milp (read: its documentation of ``constraints``, ``bounds`` and ``integrality``) takes our arrays. The
other check takes none of them: it weighs out every recipe within the same steps by hand, holds each row against it as a blend, and
adds up its distance.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterator

import numpy as np
import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st
from scipy.optimize import Bounds, LinearConstraint, milp
from strategies import Bar, at_least, at_most, bars, exactly, examples

from optimiser.maths.arrays import Vector
from optimiser.measures.sides import Side
from optimiser.model.programme import Programme, build
from optimiser.model.stepped import Balance, Held, Stepped, stepped
from optimiser.problem.batch import Batch
from optimiser.problem.wishes import Origin
from optimiser.recipe.balance import steps
from optimiser.recipe.evaluation import Recipe
from optimiser.recipe.repair import CLOSE, FAR, LITTLE, balance_of, rooms_of, rows_held, search
from optimiser.recipe.rounding import exact_grams, rounded_fats
from optimiser.recipe.weighing_out import Task
from optimiser.solve.optimum import solve

SCALES = st.sampled_from(((0.1, 1.0), (0.25, 1.0), (0.5, 5.0), (0.3, 2.8349523125)))


def task_of(bar: Bar, kilos: float, scale: float) -> Task | None:
    """A blend to be weighed out at a superfat of just 5 % on a coarse balance."""
    lye = (exactly("superfat", 5.0), at_least("lye_concentration", 32.0), at_most("lye_concentration", 34.0))
    kept = tuple(wish for wish in bar.sheet.goals if wish.key not in ("superfat", "lye_concentration"))
    sheet = bar.sheet._replace(goals=(*kept, *lye), batch=Batch(fats_kg=kilos, scale_g=scale))
    live, found = solve(build(sheet, bar.shelf))
    if found is None:
        return None
    made = live.programme
    grams = exact_grams(made.columns, found.point)
    balance = steps(sheet.batch, grams.total)
    return Task(made, grams, bar.shelf.purities, sheet, bar.shelf.prices, balance)


def nearest(task: Task) -> Recipe:
    """The recipe rounded to the nearest."""
    return task.recipe(rounded_fats(task.grams.fats, task.balance[0]))


def model_of(task: Task, kind: tuple[int, float, int]) -> tuple[Balance, list[Held], Stepped]:
    """The integer model of one kind of search."""
    begin = nearest(task)
    balance = balance_of(task, begin, kind)
    rows = rows_held(task, balance, begin, rooms_of(task, begin), kind[2], 0.0)
    return balance, rows, stepped(balance, rows)


@settings(max_examples=examples(25), deadline=None)
@given(bars(most_fats=6, most_limits=4), SCALES, st.sampled_from(((CLOSE, 0.0, 3), (FAR, LITTLE, 3), (FAR, LITTLE, 0))))
def test_against_milp(bar: Bar, scale: tuple[float, float], kind: tuple[int, float, int]) -> None:
    """The least distance is what scipy's milp finds, and where it finds no recipe there is none."""
    task = task_of(bar, *scale)
    assume(task is not None)
    assert task is not None
    made = model_of(task, kind)[2].programme
    done = milp(
        made.money,
        constraints=LinearConstraint(made.matrix, made.row_low, made.row_high),
        bounds=Bounds(made.column_low, made.column_high),
        integrality=made.integer.astype(int),
        options={"mip_rel_gap": 0.0},
    )
    ours = search(model_of(task, kind)[2])
    assert ours.feasible == (done.status == 0)
    if ours.feasible:
        assert ours.objective == pytest.approx(done.fun, rel=1e-8, abs=1e-5)


def every_recipe(task: Task, balance: Balance) -> Iterator[Recipe]:
    """All recipes of the model: each fat and the water within their steps, all fats within the band."""
    fats = [weight for weight in balance.weights if weight.place < task.programme.columns.count]
    water = next(w for w in balance.weights if w.place == task.programme.columns.index["water"])
    for moves in itertools.product(*(range(weight.least, weight.most + 1) for weight in fats)):
        grams = np.zeros(task.programme.columns.count)
        for weight, move in zip(fats, moves, strict=True):
            grams[weight.place] = weight.begin + move * weight.step
        if abs(grams.sum() - task.grams.total) > balance.band + 1e-9:
            continue
        for move in range(water.least, water.most + 1):
            yield task.recipe(grams, water.begin + move * water.step)


def as_point(programme: Programme, recipe: Recipe) -> Vector:
    """A recipe per kilo of its fats, by hand; the spread of lots as it is."""
    columns = programme.columns
    point = columns.zeros()
    for fat, grams in recipe.fats:
        point[columns.index[fat.name]] = grams
    point[columns.index["sodium hydroxide"]] = recipe.sodium_hydroxide * recipe.sodium_purity
    point[columns.index["water"]] = recipe.water
    return columns.lot_spread.lifted(point / recipe.fat_grams)


def keeps(held: Held, point: Vector) -> bool:
    """Whether a row holds of a blend, less what may be missed of it."""
    row, value = held.row, held.row.value(point)
    under = value >= row.limit - held.under - 1e-9
    over = value <= row.limit + held.over + 1e-9
    return {Side.AT_LEAST: under, Side.AT_MOST: over}.get(row.side, under and over)


def apart(task: Task, recipe: Recipe) -> float:
    """Grams that a recipe is from the blend: each fat, the water beside its part of the fats, and all fats twice."""
    exact = {fat.name: grams for fat, grams in task.exact.fats}
    water = abs(recipe.water - task.grams.water / task.grams.total * recipe.fat_grams)
    fats = sum(abs(grams - exact[fat.name]) for fat, grams in recipe.fats)
    return fats + water + 2.0 * abs(recipe.fat_grams - task.grams.total)


@settings(max_examples=examples(15), deadline=None, suppress_health_check=[HealthCheck.filter_too_much])
@given(bars(most_fats=4, most_limits=3), SCALES)
def test_against_every_recipe(bar: Bar, scale: tuple[float, float]) -> None:
    """Of every recipe near the blend that keeps every row none is nearer than the one found; where none is found, none does."""
    task = task_of(bar, *scale)
    assume(task is not None)
    assert task is not None
    balance, rows, made = model_of(task, (2, 0.0, 3))
    ours = search(made)
    judged = [held for held in rows if held.row.origin != Origin.PHYSICS and "likely" not in held.row.figure]
    least = min(
        (
            apart(task, recipe)
            for recipe in every_recipe(task, balance)
            if all(keeps(held, as_point(task.programme, recipe)) for held in judged)
        ),
        default=np.inf,
    )
    assert ours.feasible == (least < np.inf)
    if ours.feasible:
        assert ours.objective == pytest.approx(least, abs=0.002 * task.balance[0] + 0.003)
