"""What a plan asks, as values: several bars over one shelf, each with its goals and its batch, and what may be bought for them."""

from __future__ import annotations

from pathlib import Path
from typing import NamedTuple

from optimiser.problem.batch import Batch
from optimiser.problem.buying import Buying
from optimiser.problem.goals import GoalSheet
from optimiser.problem.limits import Limit
from optimiser.problem.question import Question
from optimiser.problem.shelf import Shelf
from optimiser.text.diagnostics import Diagnostic
from optimiser.text.spans import Span

SIZES = ("fats", "bars", "mould", "batter")
"""What a batch may be measured by, as it is written."""


class PlannedBar(NamedTuple):
    """One bar of a plan as it is written: its goal file, and what the plan says of its batch and its cost, if anything."""

    goals: Path
    written: str
    span: Span
    batch: Batch | None = None
    cost: tuple[Limit, ...] = ()


class PlanSheet(NamedTuple):
    """A plan as it is written. `shelf` is None where the file names none; `buying` where it does not say what may be bought."""

    path: str
    title: str
    bars: tuple[PlannedBar, ...]
    shelf: Path | None = None
    shelf_span: Span | None = None
    buying: Buying | None = None


class PlanQuestion(NamedTuple):
    """What is to be made from what? A question for each bar of the sheet, in its order, with a name of its own."""

    sheet: PlanSheet
    shelf: Shelf
    names: tuple[str, ...]
    bars: tuple[Question, ...]
    warnings: tuple[Diagnostic, ...] = ()


def in_plan(goals: GoalSheet, bar: PlannedBar) -> GoalSheet:
    """The goals of a bar with the batch and the cost that the plan asks for; what may be bought is the plan's to say."""
    batch = goals.batch if bar.batch is None else sized(goals.batch, bar.batch)
    kept = tuple(limit for limit in goals.goals if not any(is_looser(limit, own) for own in bar.cost))
    own = tuple(limit for limit in bar.cost if not any(is_looser(limit, other) for other in kept))
    return goals._replace(batch=batch, goals=(*kept, *own), buying=None)


def sized(batch: Batch, own: Batch) -> Batch:
    """A batch as a plan has it: what is not told there is as in the goal file."""
    if own.given & set(SIZES):
        batch = batch._replace(
            fats_kg=own.fats_kg, bars=own.bars, mould=own.mould, batter_kg=own.batter_kg, span=own.span
        )
    fields = {
        "cured_weight": ("cured_weight_kg",),
        "batter_temperature": ("batter_temperature",),
        "gel": ("gel",),
        "cured_water": ("cured_water",),
        "scale": ("scale_g", "scale_span"),
    }
    told = {field: getattr(own, field) for name in fields if name in own.given for field in fields[name]}
    return batch._replace(given=batch.given - set(SIZES) | own.given, **told) if told or own.given else batch


def is_looser(limit: Limit, other: Limit) -> bool:
    """Whether a limit says no more than another on the same thing in the same unit."""
    same = (limit.key, limit.side, limit.per) == (other.key, other.side, other.per)
    return same and limit.value >= other.value
