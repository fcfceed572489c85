"""What was to be used up, as data."""

from __future__ import annotations

from typing import TYPE_CHECKING

from optimiser.report.json.parts import Json, number

if TYPE_CHECKING:
    from optimiser.answers.results import UseUpLine


def use_up_part(line: UseUpLine) -> Json:
    """One fat that was to be used up."""
    return {
        "fat": line.fat,
        "asked_kg": number(line.asked_kg),
        "all": line.is_all,
        "used_kg": number(line.used_kg),
        "short_by_kg": number(0.0 if line.met else line.asked_kg - line.used_kg),
        "met": line.met,
        "costs_per_kg": number(line.costs),
        "held_back_by": [str(said) for said in line.held_back],
        "says": str(line.said),
        "line": line.line,
    }
