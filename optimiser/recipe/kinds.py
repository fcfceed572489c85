"""What kind of soap a batch is: a bar like others, a salt bar, or a paste; the one place that tells them apart.

The bounds, and what is of its own about each kind, are data: ``reference/kind_times.csv``.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING

from optimiser.reference import rows

if TYPE_CHECKING:
    from optimiser.recipe.evaluation import Recipe

PASTE = "paste"


def kind_rows(recipe: Recipe, values: Mapping[str, float]) -> list[Mapping[str, str]]:
    """The times that a soap of its own kind has, the first kind that it is; none of an ordinary bar."""
    found = list(_of_kinds(recipe, values))
    return [row for row in found if row["kind"] == found[0]["kind"]]


def is_paste(recipe: Recipe, values: Mapping[str, float]) -> bool:
    """Whether a batch is a soft soap and no bar; a shaving bar with some potassium is a bar still."""
    return any(row["kind"] == PASTE for row in _of_kinds(recipe, values))


def _of_kinds(recipe: Recipe, values: Mapping[str, float]) -> Iterator[Mapping[str, str]]:
    for row in rows("kind_times"):
        figure = _figure(row, recipe, values)
        if figure >= float(row["at_least"] or math.inf) or figure > float(row["more_than"] or math.inf):
            yield row


def _figure(row: Mapping[str, str], recipe: Recipe, values: Mapping[str, float]) -> float:
    """What a kind is told by: per cent of the fats of an additive and all that acts as it, or a figure of the batch."""
    if row["of"] == "figure":
        return values[row["figure"]]
    grams = math.fsum(item.acts_as(row["figure"]) * grams for item, grams in recipe.additives)
    return 100.0 * grams / recipe.fat_grams
