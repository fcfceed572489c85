"""Rules that gave way to a bar, as data."""

from __future__ import annotations

from typing import TYPE_CHECKING

from optimiser.report.json.parts import Json, concession_part, number

if TYPE_CHECKING:
    from optimiser.answers.results import FarOff, StoodAside


def aside_part(item: StoodAside) -> Json:
    """One rule that gave way."""
    own = {"own": True} if item.own else {}
    return {"rule": item.rule, "says": str(item.said), "why": item.why, "stands_at": item.at, **own}


def far_off_part(item: FarOff) -> Json:
    """What gave way so far that nobody would pour the blend, and what brings it back."""
    return {
        "whom": item.whom or None,
        "missed": [rule.rule for rule in item.missed],
        "ways_back": [concession_part(way) for way in item.ways],
        "cost_per_kg": number(item.cost_per_kg),
    }
