"""How far a recipe is from one in hand, as plain sums over what is in the pot, no row and no matrix."""

from __future__ import annotations

import math
from collections.abc import Collection, Mapping
from types import MappingProxyType
from typing import NamedTuple

from optimiser.measures.differences import Difference, differences
from optimiser.problem.lots import by_known_name
from optimiser.problem.near import Near
from optimiser.recipe.evaluation import Judgement, Recipe

SAME = 1e-4  # per cent: a share that has not changed
NOTHING_GONE: Mapping[str, str] = MappingProxyType({})


class FatChange(NamedTuple):
    """A fat whose share is changed: per cent before and now, grams for the same mass of fats, and why it had to go, if it had."""

    fat: str
    before: float
    after: float
    grams_before: float
    grams_after: float
    why: str = ""


def moved(near: Near, recipe: Recipe) -> float:
    """How much of the fats is changed, per cent: half of all that the shares differ by."""
    before, after = near.shares, shares_of(recipe)
    return 0.5 * math.fsum(abs(after.get(name, 0.0) - before.get(name, 0.0)) for name in before.keys() | after.keys())


def shares_of(recipe: Recipe) -> dict[str, float]:
    """Per cent of the fats by name, lots of one fat together."""
    return by_known_name((fat, 100.0 * grams / recipe.fat_grams) for fat, grams in recipe.fats)


def lot_shares(recipe: Recipe) -> dict[str, float]:
    """Per cent of the fats by name, each lot by itself."""
    return {fat.name: 100.0 * grams / recipe.fat_grams for fat, grams in recipe.fats}


def fat_changes(near: Near, recipe: Recipe, weighed: Recipe) -> tuple[FatChange, ...]:
    """The fats whose shares are changed of a recipe in hand; grams for the same batch.

    Args:
        near: the recipe in hand.
        recipe: the new one, exactly.
        weighed: the same rounded for the balance.
    """
    grams = near.weighed, by_known_name(weighed.fats)
    return changed_fats(near.shares, shares_of(recipe), grams, gone={item.fat: item.why for item in near.gone})


def changed_fats(
    before: Mapping[str, float],
    after: Mapping[str, float],
    grams: tuple[Mapping[str, float], Mapping[str, float]],
    *,
    same: float = SAME,
    gone: Mapping[str, str] = NOTHING_GONE,
) -> tuple[FatChange, ...]:
    """The fats whose shares are others: first those that had to go, then what is less, then what is more, most of it first.

    Args:
        before: per cent by name.
        after: the same now.
        grams: both in grams.
        same: a change of so many per cent of the fats is none.
        gone: why each of those that had to go had to.
    """
    change = {name: after.get(name, 0.0) - before.get(name, 0.0) for name in {**before, **after}}
    names = sorted(
        (name for name in change if abs(change[name]) > same), key=lambda name: (name not in gone, change[name], name)
    )
    first, then = grams
    return tuple(
        FatChange(
            *(name, before.get(name, 0.0), after.get(name, 0.0), first.get(name, 0.0), then.get(name, 0.0)),
            gone.get(name, ""),
        )
        for name in names
    )


def measure_changes(near: Near, judged: Judgement, told: Collection[str]) -> tuple[Difference, ...]:
    """Each measure that is known of both, as it was and as it is, the largest difference first."""
    return differences(near.values, judged.values, told)
