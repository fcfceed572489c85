"""Trials as figures: each batch's indices by the book, what was read off it, and how far each lever was pulled."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import NamedTuple

from optimiser.files.question import shelf_for
from optimiser.files.trial_file import Trial, same_unit
from optimiser.measures.scales import TIME_UNITS
from optimiser.recipe.completion import complete
from optimiser.recipe.evaluation import Recipe, judge
from optimiser.recipe.kinds import kind_rows
from optimiser.recipe.levers import lever_units
from optimiser.text.codes import Code
from optimiser.text.diagnostics import BadInput, Diagnostic


class Made(NamedTuple):
    """A trial with its batch worked out: `values` by quantity, `units` by lever."""

    trial: Trial
    recipe: Recipe
    values: Mapping[str, float]
    units: Mapping[str, float]


class Observations(NamedTuple):
    """The trials that have a reading for one measure, in one unit.

    `aside` are those read in another unit, `of_kinds` those whose soap has times of its own, each with what it is.
    """

    measure: str
    unit: str
    made: tuple[Made, ...]
    readings: tuple[float, ...]
    aside: tuple[Trial, ...] = ()
    of_kinds: tuple[tuple[Trial, str], ...] = ()


def made(trial: Trial) -> Made:
    """A trial's batch, judged by the book.

    Raises:
        BadInput: the shelf that the recipe names cannot be read, or a fat has no measures that readings could be set against.
    """
    recipe = complete(trial.recipe, shelf_for(trial.recipe))
    untold = {fat.name for fat, _ in recipe.fats if "acids" in fat.untold}
    if untold:
        raise BadInput(
            Diagnostic(
                Code.UNTOLD_FAT,
                f"of {item.name} a saponification value alone is known, so this batch has no measure by the book",
                "say on the shelf what it is like: a reading is set against that measure",
                item.span,
            )
            for item in trial.recipe.fats
            if item.name in untold
        )
    return Made(trial, recipe, judge(recipe).values, lever_units(recipe))


def observations(measure: str, batches: Sequence[Made]) -> Observations:
    """The trials that have a reading for a measure; for hardness those in the unit that most of them use.

    A batch whose measure nobody knows (a paste, a bar of very much superfat) teaches nothing of it.
    """
    batches = [item for item in batches if not math.isnan(item.values[measure])]
    if measure in TIME_UNITS:
        listed = [(item, reading) for item in batches if (reading := _time(item.trial, measure)) is not None]
        kinds = {item.trial.name: kind for item, _ in listed if (kind := _kind(item, measure))}
        kept_times = [(item, value) for item, value in listed if item.trial.name not in kinds]
        return Observations(
            *(measure, TIME_UNITS[measure]),
            made=tuple(item for item, _ in kept_times),
            readings=tuple(value for _, value in kept_times),
            of_kinds=tuple((item.trial, kinds[item.trial.name]) for item, _ in listed if item.trial.name in kinds),
        )
    read = [(item, item.trial.hardness) for item in batches if item.trial.hardness is not None]
    units = [reading.unit for _, reading in read]
    unit = max(units, key=lambda name: sum(same_unit(name, other) for other in units), default="")
    kept = [(item, reading.value) for item, reading in read if same_unit(reading.unit, unit)]
    aside = tuple(item.trial for item, reading in read if not same_unit(reading.unit, unit))
    return Observations(measure, unit, tuple(item for item, _ in kept), tuple(value for _, value in kept), aside)


def _kind(item: Made, measure: str) -> str:
    """What kind of soap a batch is that has hours to unmould of its own; empty for an ordinary bar."""
    if measure != "set_up":
        return ""
    return next((row["words"] for row in kind_rows(item.recipe, item.values) if row["time"] == "unmould"), "")


def _time(trial: Trial, measure: str) -> float | None:
    return trial.trace if measure == "trace_speed" else trial.unmould
