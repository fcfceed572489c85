"""Designs for people and for programs: the techniques and users of our own table and of the maker's folder."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from optimiser.problem.designs import Design, DesignRow

Json = dict[str, Any]


def design_data(design: Design) -> Json:
    """A design with all that it asks."""
    return {
        "name": design.name,
        "key": design.family,
        "also": list(design.names[1:]),
        "about": design.about,
        "batter": design.batter or None,
        "pour_to": design.pour_to or None,
        "blend_to": design.blend_to or design.pour_to or None,
        "steps": [{"when": step.stage, "do": step.do} for step in design.steps],
        "parts": design.parts,
        "knock": design.knock,
        "touch_top": design.touch_top,
        "sets_aside": list(design.sets_aside),
        "workable_min": design.workable or None,
        "cover": design.cover or None,
        "cure": design.cure or None,
        "rows": [row_data(row) for row in design.rows],
        "batch": [
            {"choice": item.key, "value": item.value, "why": item.why, "status": item.status} for item in design.choices
        ],
    }


def row_data(row: DesignRow) -> Json:
    """One limit of a design."""
    limit = row.limit
    return {
        "on": limit.key,
        "subject": limit.subject,
        "side": limit.side,
        "value": limit.value,
        "unit": limit.unit,
        "says": str(limit.said),
        "why": row.why,
        "status": row.status,
        "gives_way": row.gives_way,
    }
