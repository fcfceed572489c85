"""Recipes a step of the balance away: a step more of one fat and less of another, where that keeps what rounding blurs."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import permutations

import numpy as np

from optimiser.maths.arrays import Vector
from optimiser.recipe.weighing_out import Judging, Task, WeighedOut, badness, blurred

MOST = 60  # recipes that are judged
STEPS = 2  # that a fat may come away from the blend


def step_moved(task: Task, judging: Judging, out: WeighedOut) -> WeighedOut:
    """The recipe nearest to the blend, within one step between two fats, that keeps the maker's goals in the digits they are written in.

    The recipe itself, if there is none: what misses more than it does is never taken for it.
    """
    additives = dict(out.recipe.additives)
    amounts = np.array([additives.get(item, 0.0) for item in task.programme.columns.additives])
    for fats in moved_by_a_step(task, out):
        recipe = task.recipe(fats, out.recipe.water, amounts)
        if not blurred(task, recipe):
            missed = judging(recipe)
            if badness(missed) <= badness(out.missed):
                return out._replace(recipe=recipe, missed=tuple(missed))
    return out


def moved_by_a_step(task: Task, out: WeighedOut) -> Iterator[Vector]:
    """The fats in grams with a step of one put in the place of a step of another, those nearest to the blend first."""
    weighed, step = {fat.name: grams for fat, grams in out.recipe.fats}, out.step
    fats = np.array([weighed.get(fat.name, 0.0) for fat in task.programme.columns.fats])
    used = np.flatnonzero(fats > 0.0).tolist()
    moves = list[tuple[float, int, Vector]]()
    for more, less in permutations(used, 2):
        if fats[less] > 1.5 * step:
            moved = fats.copy()
            moved[more] += step
            moved[less] -= step
            if float(np.abs(moved - task.grams.fats)[[more, less]].max()) > STEPS * step:
                continue
            moves.append((float(np.abs(moved - task.grams.fats).sum()), len(moves), np.round(moved / step) * step))
    yield from (moved for _, _, moved in sorted(moves, key=lambda move: move[:2])[:MOST])
