"""A label as data."""

from __future__ import annotations

from typing import TYPE_CHECKING

from optimiser.recipe.weights import MILLIGRAM
from optimiser.report.json.lye import cautions_part
from optimiser.report.json.parts import FORMAT, Json, grams, number, warnings_part

if TYPE_CHECKING:
    from collections.abc import Sequence

    from optimiser.answers.label import Label
    from optimiser.recipe.ingredients import Ingredient


def labelled(story: Label) -> Json:
    """Both lists as names, and again with what each weighs; a draft, and no legal advice."""
    lists = {"as_charged": story.as_charged, "as_saponified": story.as_saponified}
    return {
        "format": FORMAT,
        "status": "labelled",
        "title": story.title,
        "file": story.file,
        **{key: [one.name for one in listed] for key, listed in lists.items()},
        "in_eu": {key: [one.in_eu for one in listed] for key, listed in lists.items()},
        "ingredients": {key: ingredients_part(listed) for key, listed in lists.items()},
        "allergens": [
            {
                "allergen": one.name,
                "grams": number(one.grams),
                "share": number(one.share),
                "of": list(one.of),
                "known": one.is_known,
                "named": one.is_named,
            }
            for one in story.allergens
        ],
        "net_weight": {
            "bar_g": None if story.net_weight.bar_grams is None else grams(story.net_weight.bar_grams),
            "batch_g": grams(story.net_weight.batch_grams),
        },
        "soap_share_of_dry": number(story.soap_share),
        "to_check": list(story.to_check),
        "avoided": list(story.avoided),
        "notes": [{"says": note.said, "source": note.source, "how": note.how} for note in story.notes],
        "unfit": story.is_unfit,
        "cautions": cautions_part(story.cautions, story.recipe),
        **warnings_part(story.warnings),
    }


def ingredients_part(listed: Sequence[Ingredient]) -> list[Json]:
    """Each ingredient with what it weighs, its share of the whole, and how sure its name is."""
    return [
        {
            "name": one.name,
            "in_eu": one.in_eu,
            "grams": grams(one.grams) if one.grams >= MILLIGRAM else number(one.grams, 6),
            "share": number(one.share),
            "of": list(one.of),
            "status": one.status,
            "group": one.group or None,
        }
        for one in listed
    ]
