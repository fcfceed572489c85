"""A few blends side by side as data."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import TYPE_CHECKING

from optimiser.report.json.parts import FORMAT, Json, money, number, warnings_part

if TYPE_CHECKING:
    from optimiser.answers.choice_results import Choice, Choices
    from optimiser.answers.results import Blend, StoodAside

TOLD = (  # of a blend: all but its goals, its unused fats and its steps, which `blend` tells
    *("cure_weeks", "fats", "alkali", "water", "additives", "liquids", "superfat_with_liquids", "measures", "figures"),
    *("cost", "counted", "to_weigh", "cautions"),
)


def choices_part(story: Choices, blend: Callable[[Blend], Json]) -> Json:
    """The data of the blends; `blend` makes that of one."""
    return {
        "format": FORMAT,
        "status": "choices",
        "title": story.title,
        "currency": story.currency,
        "goal_file": story.goal_file,
        "shelf": story.shelf_title,
        "within": number(story.within),
        "within_says": story.said,
        "most_cost_per_kg": number(story.ceiling),
        "asked": story.asked,
        "choices": [
            {**choice_part(choice, blend), "stood_aside": [aside_part(item) for item in story.own_aside(choice)]}
            for choice in story.choices
        ],
        "most_swapped": {
            "share": rounded_up(100.0 * story.most.share),
            "proved": story.most.holds,
            "exact": story.most.exact,
            "reached": story.most.ended,
        },
        "smallest_swap": None if story.is_single else number(min(choice.apart for choice in story.choices)),
        "complete": story.complete,
        "stood_aside": [aside_part(item) for item in story.stood_aside],
        **warnings_part(story.warnings),
    }


def choice_part(choice: Choice, blend: Callable[[Blend], Json]) -> Json:
    """One blend beside the cheapest."""
    every = blend(choice.blend)
    return {
        "blend": {key: every[key] for key in TOLD if key in every},
        "dearer": number(choice.dearer),
        "dearer_per_kg": money(choice.blend.cost.per_kg - choice.blend.cost.per_kg / (1.0 + choice.dearer / 100.0)),
        "swapped": number(choice.swapped),
        "apart": number(choice.apart),
        "says": choice.says,
        "broken_when_weighed": list(choice.broken),
    }


def aside_part(item: StoodAside) -> Json:
    """A rule of the house that gave way; of one blend those that did not give way for the first."""
    return {"rule": item.rule, "says": str(item.said), "why": item.why, "stands_at": item.at}


def rounded_up(value: float) -> float:
    """Rounded up, so that an upper bound stays one."""
    return float(math.ceil(value * 1e6 - 1e-6)) / 1e6
