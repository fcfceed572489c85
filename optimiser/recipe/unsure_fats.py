"""What is said of fats whose saponification value is borrowed, told without an end, or unsure."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from optimiser.recipe.naming import listed

if TYPE_CHECKING:
    from optimiser.recipe.evaluation import Recipe

UNSURE = (
    "{names}: the saponification value may lie {short:.0f} % or more below the figure worked with; a certificate of analysis with a narrow "
    "tolerance makes the alkali sure."
)
BORROWED = (
    "{names}: alkali reckoned with the figures of {lenders}, and a likeness is no measurement: a saponification value of "
    "its own, best from a certificate of analysis, makes it sure."
)
SINGLE = (
    "{names}: alkali reckoned with a saponification value that no certificate of analysis is told for, and nothing else is known "
    "that could bear it out: the certificate of the lot makes it sure."
)
UNSURE_SPREAD = 0.05  # of the value: a fat whose low end lies further off than this
NOTICEABLE = 0.10  # share from which such a fat is worth a word
LENT = 0.05  # the same where its figures are another fat's


def of_borrowed_figures(recipe: Recipe) -> Iterator[str]:
    """Fats in noticeable amounts whose alkali is reckoned with another fat's saponification value, or a single one."""
    lent = [fat for fat, grams in recipe.fats if fat.borrowed and grams >= LENT * recipe.fat_grams]
    if lent:
        lenders = listed(list(dict.fromkeys(fat.borrowed for fat in lent)))
        yield BORROWED.format(names=listed([fat.name for fat in lent]).capitalize(), lenders=lenders)
    alone = [fat.name for fat, grams in recipe.fats if "certificate" in fat.untold and grams >= LENT * recipe.fat_grams]
    if alone:
        yield SINGLE.format(names=listed(alone).capitalize())


def of_unsure_fats(recipe: Recipe) -> Iterator[str]:
    """Fats in noticeable amounts whose saponification value is unsure."""
    spreads = {
        fat.name: (fat.saponification.value - fat.saponification.low) / fat.saponification.value
        for fat, grams in recipe.fats
        if grams >= NOTICEABLE * recipe.fat_grams and fat.kind != "wax" and not fat.borrowed
    }
    unsure = [name for name, spread in spreads.items() if spread > UNSURE_SPREAD]
    if unsure:
        short = 100.0 * min(spreads[name] for name in unsure)
        yield UNSURE.format(names=listed(unsure).capitalize(), short=short)
