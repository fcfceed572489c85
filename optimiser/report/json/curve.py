"""A cost curve, or a grid of two limits, as data."""

from __future__ import annotations

from typing import TYPE_CHECKING

from optimiser.report import curve_words as said
from optimiser.report.json.parts import Json, number
from optimiser.report.words import GLUE

if TYPE_CHECKING:
    from optimiser.answers.curve_values import Curve, CurveEnd, CurveGrid, CurvePoint, GridAxis

FINE = 14  # of what a curve is worked out by
DIGITS = 9  # of limits and costs: a curve is exact, and so are its figures


def curve_part(curve: Curve) -> Json:
    """What one limit costs."""
    return {
        "title": curve.title,
        "currency": curve.currency,
        "shelf": curve.shelf_title,
        "of": str(curve.of),
        "says": said.asked(curve),
        "unit": curve.unit,
        "side": str(curve.side),
        "now": number(curve.now, DIGITS),
        "free_to": number(curve.free, DIGITS),
        "points": [point_part(point) for point in curve.points],
        "pieces": [
            {
                "from": number(piece.low, DIGITS),
                "to": number(piece.high, DIGITS),
                "at": number(piece.at, FINE),
                "money": [number(part, FINE) for part in piece.money],
                "cured_kg": [number(part, FINE) for part in piece.cured],
                "exact": piece.exact,
            }
            for piece in curve.pieces
        ],
        "ends": [end_part(curve, end) for end in curve.ends],
        "gives_way": [str(one) for one in curve.gives_way],
        "exact": curve.exact,
        "counted": curve.is_counted,
        "solves": curve.solves,
        "cautions": list(curve.cautions),
    }


def point_part(point: CurvePoint) -> Json:
    """One limit of a curve."""
    return {
        "limit": number(point.limit, DIGITS),
        "cost_per_kg": number(point.cost_per_kg, DIGITS),
        "breakpoint": point.breakpoint,
        "exact": point.exact,
        "each_unit_more": number(point.each_more, DIGITS),
        "without_pinches_per_kg": number(point.poured, DIGITS),
        "says": said.changes(point).replace(GLUE, " "),
        "comes_in": list(point.comes_in),
        "goes": list(point.goes),
        "fats": [{"fat": name, "share": number(share)} for name, share in point.fats],
    }


def end_part(curve: Curve, end: CurveEnd) -> Json:
    """Where a curve ends, and why."""
    return {
        "limit": number(end.limit, DIGITS),
        "why": end.why,
        "says": said.ended(curve, end).replace(GLUE, " "),
        "against": [str(one) for one in end.against],
        "gives_way": [str(one) for one in end.gives_way],
        "onward": number(end.onward, DIGITS),
    }


def grid_part(grid: CurveGrid) -> Json:
    """What two limits cost together; a cost is null where there is no blend."""
    one, other = grid.axes
    return {
        "title": grid.title,
        "currency": grid.currency,
        "shelf": grid.shelf_title,
        "of": str(one.of),
        "and": str(other.of),
        "axes": [axis_part(axis) for axis in grid.axes],
        "points": [
            {
                "limit": number(limit, DIGITS),
                "and_limit": number(also, DIGITS),
                "cost_per_kg": number(cost, DIGITS),
                "breakpoint": False,
                "rules_give_way": cost is not None and not kept,
            }
            for limit, costs, row in zip(one.limits, grid.costs, grid.as_written, strict=True)
            for also, cost, kept in zip(other.limits, costs, row, strict=True)
        ],
        "grid": True,
        "exact": False,
        "cautions": list(grid.cautions),
    }


def axis_part(axis: GridAxis) -> Json:
    """One of two limits of a grid."""
    return {
        "of": str(axis.of),
        "says": f"{axis.says} {axis.side.words}",
        "unit": axis.unit,
        "side": str(axis.side),
        "limits": [number(limit, DIGITS) for limit in axis.limits],
    }
