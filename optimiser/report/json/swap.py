"""What to use in place of a fat, as data."""

from __future__ import annotations

from typing import TYPE_CHECKING

from optimiser.report.json.documents import weighed
from optimiser.report.json.parts import FORMAT, Json, grams, member_part, number, rounded_down, warnings_part

if TYPE_CHECKING:
    from optimiser.answers.results import WeighedRecipe
    from optimiser.answers.swap_results import SwapAnswer, Swapped

OF_ANOTHER = ("format", "status", "title", "recipe_file", "ash", "hard_water", "warnings", "prefer")
"""Keys of a weighed recipe that stand once for the whole document, or were not worked out."""


def swapped(story: Swapped) -> Json:
    """The data of all answers; where none keeps what was asked, the status says so, and clashes say why."""
    return {
        "format": FORMAT,
        "status": "swapped" if story.fits else "infeasible",
        "title": story.title,
        "currency": story.currency,
        "recipe_file": story.recipe_file,
        "shelf": story.shelf_title,
        "out": list(story.out),
        "keep": list(story.keep),
        "old": blend_part(story.old),
        "answers": [answer_part(answer) for answer in story.answers],
        **clashes_part(story),
        "notes": list(story.notes),
        **warnings_part(story.warnings),
    }


def answer_part(answer: SwapAnswer) -> Json:
    """One answer: the blend, what changed, and what will be different."""
    return {
        "label": answer.label,
        "fits": answer.fits,
        "misses": list(answer.misses),
        "same_as": answer.same_as or None,
        "blend": blend_part(answer.story),
        "changed": [
            {
                "fat": item.fat,
                "from": number(item.before),
                "to": number(item.after),
                "from_g": grams(item.grams_before),
                "to_g": grams(item.grams_after),
            }
            for item in answer.changed
        ],
        "alkali_change_g": grams(answer.alkali_change),
        "sodium_hydroxide_change_g": grams(answer.sodium_change),
        "potassium_hydroxide_change_g": grams(answer.potassium_change),
        "water_change_g": grams(answer.water_change),
        "moved": number(answer.moved),
        "drift": number(answer.drift),
        "least_moved": None if answer.least_moved is None else rounded_down(answer.least_moved, 6),
        "cheapest_possible_per_kg": None
        if answer.cheapest_possible is None
        else rounded_down(answer.cheapest_possible, 6),
        "says": list(answer.says),
        "brings": list(answer.brings),
        "at_the_bench": list(answer.bench),
        "in_the_bar": list(answer.bar),
        "notes": list(answer.notes),
    }


def blend_part(story: WeighedRecipe) -> Json:
    """A recipe in the shape of a blend: fats with their cost where it is known, alkali, water, measures, cost."""
    data = {key: value for key, value in weighed(story).items() if key not in OF_ANOTHER}
    data["cost"] = data["cost"] or {}
    return data


def clashes_part(story: Swapped) -> Json:
    """Why nothing fits, in the shape that `blend` has it."""
    if story.fits:
        return {}
    return {
        "clashes": [[str(member.id) for member in clash] for clash in story.clashes],
        "clash_details": [[member_part(member) for member in clash] for clash in story.clashes],
        "complete": story.complete,
    }
