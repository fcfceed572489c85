"""What kind of soap a batch is: a bar like others, a salt bar, or a paste; the one place that tells them apart.

The bounds, and what is of its own about each kind, are data: ``reference/kind_times.csv``.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from typing import TYPE_CHECKING

from optimiser.reference import rows

if TYPE_CHECKING:
    from optimiser.problem.designs import Design, Need
    from optimiser.recipe.evaluation import Recipe

PASTE = "paste"
TOLD = 1  # decimals in which such a figure is told: what a balance rounds off makes no other soap of it
LACKS = "This {design} has {much} {name}: write additives: {{{name}: {usual:g} %}}. Until then it is made, timed and cut as a plain bar."


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
        return round(values[row["figure"]], TOLD)
    return share_of(recipe, row["figure"])


def share_of(recipe: Recipe, additive: str) -> float:
    """Per cent of the fats of an additive and all that acts as it."""
    grams = math.fsum(item.acts_as(additive) * grams for item, grams in recipe.additives)
    return 100.0 * grams / recipe.fat_grams


def in_force(recipe: Recipe, techniques: Sequence[Design]) -> tuple[Design, ...]:
    """The designs whose working steps and times are for this batch: not one that lacks the additive that it is made of."""
    return tuple(design for design in techniques if design.needs is None or not _lacks(recipe, design.needs))


def lacking(recipe: Recipe, techniques: Sequence[Design]) -> tuple[str, ...]:
    """What must be said first of a batch that lacks the additive of its design."""
    return tuple(
        _missing(recipe, design, need) for design in techniques if (need := design.needs) and _lacks(recipe, need)
    )


def _missing(recipe: Recipe, design: Design, need: Need) -> str:
    share = share_of(recipe, need.additive)
    much = f"only {share:.1f} %" if share > 0.0 else "no"
    return LACKS.format(design=design.name, much=much, name=need.additive, usual=need.usual)


def _lacks(recipe: Recipe, need: Need) -> bool:
    """Whether it holds less of an additive than makes a soap of that kind; any is enough where no kind is told by it."""
    share = share_of(recipe, need.additive)
    least = [float(row["at_least"]) for row in rows("kind_times") if row["figure"] == need.additive and row["at_least"]]
    return share < min(least) if least else share <= 0.0
