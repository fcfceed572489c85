"""What rounding for the balance did to a blend, in words: what it could not keep, and what would."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from optimiser.answers.results import GoalLine, PreferenceLine, Rounding
from optimiser.measures.telling import told
from optimiser.model.programme import Programme
from optimiser.problem.goals import GoalSheet
from optimiser.problem.shelf import Shelf
from optimiser.recipe.balance import steps
from optimiser.recipe.evaluation import Recipe
from optimiser.recipe.rounding import exact_grams
from optimiser.recipe.rounding_cures import cures
from optimiser.recipe.weighing_out import Task
from optimiser.recipe.weights import of_fats, step_told
from optimiser.solve.optimum import Cheapest

BARE = ("index", "ratio", "fats", "")  # units that are not told


def with_cures(
    rounding: Rounding, programme: Programme, found: Cheapest, question: tuple[GoalSheet, Shelf]
) -> Rounding:
    """How a blend was rounded, with what would keep all that it misses."""
    if not rounding.missed:
        return rounding
    sheet, shelf = question
    grams = exact_grams(programme.columns, found.point)
    balance = steps(programme.columns.batch, grams.total)
    known = cures(Task(programme, grams, shelf.purities, sheet, shelf.prices, balance))
    return rounding._replace(finer=known.finer, times=known.times)


def on_rounding(
    rounding: Rounding, weighed: Recipe, goals: Sequence[GoalLine], preferences: Sequence[PreferenceLine]
) -> Iterator[str]:
    """What must be said of it: the size that the fats come to, each wish that is missed and by how much, and what cures it."""
    units, all_fats = weighed.units, of_fats(weighed)
    if rounding.searched and abs(weighed.fat_grams - rounding.fats_exact) >= weighed.fat_step * OWN_SIZE:
        yield (
            f"All fats come to {all_fats.told(weighed.fat_grams)} in place of {all_fats.told(rounding.fats_exact)}, since on "
            "this balance more of what is asked holds so."
        )
    step, fine = step_told(units, weighed.fat_step), step_told(units, weighed.alkali_step)
    reads = step if fine == step else f"{step} ({fine} for alkali and water)"
    for line in goals:
        if not line.holds_when_weighed:
            yield f"On a balance that reads {reads} this does not quite hold: {line.said}{reached(line)}."
        elif line.when_weighed is not None:
            yield f"As weighed, as near as a balance that reads {reads} comes: {line.said}{reached(line)}."
    missed = set(rounding.missed)
    for wish in preferences:
        if wish.id in missed:
            yield f"On a balance that reads {reads} this preference is not quite reached: {wish.said}."
    if rounding.missed:
        yield on_cures(rounding, weighed)


OWN_SIZE = 0.75  # steps of the balance: less is what rounding to the nearest does too


def reached(line: GoalLine) -> str:
    """What a wish comes to once it is weighed: ", here 34.1 %"."""
    if line.when_weighed is None:
        return ""
    figure = told(line.when_weighed, line.limit, line.side, 1, met=False)
    return f", here {figure}" if line.unit in BARE else f", here {figure} {line.unit.strip()}"


def on_cures(rounding: Rounding, weighed: Recipe) -> str:
    """What would keep all that is missed: a finer balance, a larger batch, both or neither."""
    finer = None if rounding.finer is None else f"a balance that reads {step_told(weighed.units, rounding.finer)}"
    larger = None if rounding.times is None else f"a batch {rounding.times} times as large on this one"
    ways = [way for way in (finer, larger) if way is not None]
    if not ways:
        return "No finer balance and no larger batch mends that: ease what does not hold a little."
    return f"All of it would hold on {ways[0]}{f', or in {ways[1]}' if len(ways) > 1 else ''}.".replace(
        "hold on a batch", "hold in a batch"
    )
