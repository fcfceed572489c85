"""Fats that have no tag of nuts here and that some lists or labels count as such: what to say of a bar asked to be free from nuts."""

from __future__ import annotations

from collections.abc import Collection, Iterator

from optimiser.recipe.evaluation import Recipe
from optimiser.recipe.naming import listed
from optimiser.reference import rows

DEFER = "Whether a label may call this bar free from nuts is for your local rules and your supplier's papers to say"


def doubtful_nuts(recipe: Recipe, barred: Collection[str]) -> Iterator[str]:
    """A note where a bar free from nuts holds what not everybody leaves out of that word; those of one reason together.

    Args:
        recipe: what is weighed.
        barred: the tags that nothing in the bar may bear.
    """
    held = {fat.group: fat.name for fat, _ in recipe.fats} | {item.base: item.name for item, _ in recipe.additives}
    reasons: dict[str, list[str]] = {}
    for row in rows("counted_as_nuts"):
        names = [held[name] for name in row["what"].split(";") if name in held]
        if names and not set(row["barred"].split(";")).isdisjoint(barred):
            reasons.setdefault(row["said"], []).extend(names)
    if reasons:
        told = "; ".join(f"{listed(names)}: {why}" for why, names in reasons.items())
        yield f"{DEFER}. {told[0].upper()}{told[1:]}."
