"""What is bought for a blend, as data."""

from __future__ import annotations

from typing import TYPE_CHECKING

from optimiser.report.json.parts import PLACES, Json, money, number, rounded_down

if TYPE_CHECKING:
    from optimiser.answers.buying_figures import BuyingFigures
    from optimiser.planning.orders import Line


def buying_part(buying: BuyingFigures) -> Json:
    """The buying list; cash out, cost used and value left; what the same blend could be had for, and what is proved."""
    least, proof = buying.least_cash, buying.proof
    return {
        "buying": [line_part(line) for line in buying.lines],
        "cash_out": money(buying.cash_out),
        "cost_used": money(buying.cost_used),
        "value_left": money(buying.value_left),
        "left_counts": number(100.0 * buying.buying.left_counts),
        **(
            {}
            if least is None
            else {
                "least_cash_for_this_blend": {
                    "buying": [line_part(line) for line in least.lines],
                    "cash_out": money(least.cash_out),
                    "cost_used": money(least.cost_used),
                    "value_left": money(least.value_left),
                }
            }
        ),
        **(
            {}
            if proof is None
            else {
                "cash_certificate": {
                    "per_kg": number(proof.per_kg),
                    "least_possible_per_kg": rounded_down(proof.least_possible_per_kg, PLACES),
                    "gap": number(proof.gap, 12),
                    "search_ended_early": proof.is_limited,
                }
            }
        ),
    }


def line_part(line: Line) -> Json:
    """A line of the buying list; goods sold loose have neither pack nor count."""
    loose = line.tin.is_loose
    return {
        "fat": line.called or line.fat,
        "pack": None if loose else f"{line.tin.size_kg:.6g} kg",
        "count": None if loose else round(line.number),
        "kg": number(line.kilos),
        "cost": money(line.cost),
    }
