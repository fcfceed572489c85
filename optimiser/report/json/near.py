"""What is changed of a recipe in hand, as data."""

from __future__ import annotations

from typing import TYPE_CHECKING

from optimiser.measures.differences import within
from optimiser.report.json.parts import Json, grams, money, number

if TYPE_CHECKING:
    from optimiser.answers.near_lines import NearFigures


def near_part(near: NearFigures) -> Json:
    """What is changed of a recipe in hand; `drift` is what the measures differ by beyond how sure each is, in parts of that."""
    return {
        "title": near.title,
        "moved": number(near.moved),
        "drift": number(near.drift),
        "proved": near.proof.exact,
        "least_moved": number(near.proof.least),
        "changed": [
            {
                "fat": line.fat,
                "from": number(line.before),
                "to": number(line.after),
                "from_g": grams(line.grams_before),
                "to_g": grams(line.grams_after),
                **({"why": line.why} if line.why else {}),
            }
            for line in near.fats
        ],
        "alkali_change_g": number(round(near.alkali_change, 3)),
        "sodium_hydroxide_g": {"from": grams(near.alkali_before[0]), "to": grams(near.alkali_after[0])},
        "potassium_hydroxide_g": {"from": grams(near.alkali_before[1]), "to": grams(near.alkali_after[1])},
        "water_g": {"from": grams(near.water_before), "to": grams(near.water_after)},
        "measures": [
            {
                "measure": line.measure.id,
                "from": number(line.before),
                "to": number(line.after),
                "sure_to": within(line.measure.id),
                "differs": line.is_felt,
            }
            for line in near.measures
        ],
        "gone": [{"fat": item.fat, "share": number(item.share), "why": item.why} for item in near.gone],
        "notes": list(near.notes),
        "cost_per_kg_before": None if near.cost_before is None else money(near.cost_before),
    }
