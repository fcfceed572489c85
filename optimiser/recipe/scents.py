"""Allergens of scents: what their suppliers' papers state of them, as a share of the finished bar.

Named above 0.01 % of what is rinsed off: Regulation (EC) No 1223/2009, Annex III, as amended by Regulation (EU) 2023/1545.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import NamedTuple

from optimiser.materials.label_names import STATED, find_allergen, names_of_extra
from optimiser.recipe.evaluation import Recipe
from optimiser.recipe.ingredients import ALLERGEN, SCENT, UNVERIFIED, Part

NAMED_ABOVE = 0.01
"""Per cent of a product that is rinsed off: Regulation (EU) 2023/1545, from summaries of it."""
HAIR = 1e-9  # per cent: what binary fractions add; what just reaches the limit is named


class Allergen(NamedTuple):
    """One allergen: grams in the batch, per cent of the finished bar, and the scents that bring it.

    `is_known`: it is among the names that the law lists, as known here; else it stands as the maker wrote it. `is_named`: it is above
    the limit.
    """

    name: str
    grams: float
    share: float
    of: tuple[str, ...]
    is_known: bool
    is_named: bool

    def part(self) -> Part:
        """It as a part of a list."""
        return Part(self.name, self.grams, ", ".join(self.of), UNVERIFIED if self.is_known else STATED, "", ALLERGEN)


def allergens(recipe: Recipe, finished_grams: float) -> tuple[Allergen, ...]:
    """Every allergen that is stated of what is in a recipe, the most first.

    Args:
        recipe: what is weighed.
        finished_grams: what the batch weighs once it is sold: with less water in it each share is larger.
    """
    found: dict[str, list[tuple[str, float]]] = {}
    for item, grams in recipe.additives:
        for name, share in item.allergens or ():
            found.setdefault(find_allergen(name) or name, []).append((item.name, grams * share / 100.0))
    out = []
    for name, brought in found.items():
        grams = math.fsum(one for _, one in brought)
        share = 100.0 * grams / finished_grams
        scents = tuple(sorted({scent for scent, _ in brought}))
        out.append(Allergen(name, grams, share, scents, find_allergen(name) is not None, share > NAMED_ABOVE - HAIR))
    return tuple(sorted(out, key=lambda one: (-round(one.grams, 9), one.name)))


def unstated(recipe: Recipe) -> Iterator[str]:
    """The scents of which the shelf states no allergens."""
    for item, _ in recipe.additives:
        names = names_of_extra(item)
        if names is not None and names.group == SCENT and item.allergens is None:
            yield item.name
