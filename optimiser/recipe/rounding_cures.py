"""What would let a recipe keep all that rounding breaks: a balance that reads finer, or a larger batch on this one."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from optimiser.problem.limits import GRAMS
from optimiser.problem.units import Units
from optimiser.recipe.balance import steps
from optimiser.recipe.repair import KINDS, rounded_by
from optimiser.recipe.rounding import Grams
from optimiser.recipe.weighing_out import Task

READ = (2.0, 1.0, 0.5, 0.1, 0.01)  # g: what balances are sold to read (common practice, no source)
READ_OUNCES = (0.1, 0.05, 0.01, 0.005, 0.001)  # oz: the same
TIMES = (2, 3, 5, 10)


class Cures(NamedTuple):
    """The coarsest step, in grams, of a finer balance that keeps all, and how many times as large a batch does; None for neither."""

    finer: float | None = None
    times: int | None = None


def cures(task: Task) -> Cures:
    """What keeps all that the balance of a task breaks, without moving a weight further than a few steps."""
    return Cures(
        next((step for step in finer_than(task) if keeps_all(with_step(task, step))), None),
        next((times for times in TIMES if keeps_all(larger(task, times))), None) if may_grow(task) else None,
    )


def finer_than(task: Task) -> Iterator[float]:
    """Steps of balances finer than that of the task, the coarsest first."""
    units, coarse = task.programme.columns.batch.units, task.balance[0]
    read = READ if units.is_metric else tuple(Units.OUNCES.grams * step for step in READ_OUNCES)
    return (step for step in read if step < coarse * (1.0 - 1e-9))


def with_step(task: Task, step: float) -> Task:
    """The task on a balance of that step; what was weighed finer before still is."""
    return task._replace(balance=(step, min(step, task.balance[1])))


def larger(task: Task, times: int) -> Task:
    """The task for a batch so many times as large, on the balance that there is."""
    grams = task.grams
    batch = task.programme.columns.batch
    return task._replace(
        grams=Grams(
            *(times * grams.fats, times * grams.sodium_pure, times * grams.potassium_pure),
            *(times * grams.water, times * grams.additives),
        ),
        balance=steps(batch, times * grams.total),
    )


def may_grow(task: Task) -> bool:
    """Whether a larger batch asks the same: not where an additive is told in grams of this very one."""
    return not any(row.unit == GRAMS for row in task.programme.rows)


def keeps_all(task: Task) -> bool:
    """Whether a recipe of the batch's own size, a few steps from the blend, misses nothing."""
    return not rounded_by(task, KINDS[:1]).missed
