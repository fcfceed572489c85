"""How far a recipe is from one in hand, as plain sums over what is in the pot, no row and no matrix."""

from __future__ import annotations

import math
from collections.abc import Collection, Iterator
from typing import NamedTuple

from optimiser.problem.near import Near, own_room
from optimiser.recipe.evaluation import Judgement, Recipe

SAME = 1e-4  # per cent: a share that has not changed


class FatChange(NamedTuple):
    """A fat whose share is changed: per cent before and now, grams for the same batch, and why it had to go, if it had."""

    fat: str
    before: float
    after: float
    grams_before: float
    grams_after: float
    why: str = ""


class MeasureChange(NamedTuple):
    """A measure before and now; `is_felt` where it has changed by more than it is sure to (`room`)."""

    measure: str
    before: float
    after: float
    room: float

    @property
    def is_felt(self) -> bool:
        """Whether the change is more than the measure is sure to."""
        return abs(self.after - self.before) > self.room


def moved(near: Near, recipe: Recipe) -> float:
    """How much of the fats is changed, per cent: half of all that the shares differ by."""
    before, after = near.shares, shares_of(recipe)
    return 0.5 * math.fsum(abs(after.get(name, 0.0) - before.get(name, 0.0)) for name in before.keys() | after.keys())


def shares_of(recipe: Recipe) -> dict[str, float]:
    """Per cent of the fats by name."""
    return {fat.name: 100.0 * grams / recipe.fat_grams for fat, grams in recipe.fats}


def drift(near: Near, judged: Judgement, told: Collection[str]) -> float:
    """What the measures differ by beyond how sure each is, in parts of that, added up; over those measures that are told."""
    return math.fsum(max(0.0, abs(judged.values[name] - near.values[name]) / own_room(name) - 1.0) for name in told)


def fat_changes(near: Near, recipe: Recipe, weighed: Recipe) -> Iterator[FatChange]:
    """The fats whose shares are changed: first those that go, then what is less, then what is more, most of it first.

    Args:
        near: the recipe in hand.
        recipe: the new one, exactly.
        weighed: the same rounded for the balance.
    """
    before, after = near.shares, shares_of(recipe)
    on_balance = {fat.name: grams for fat, grams in weighed.fats}
    gone = {item.fat: item.why for item in near.gone}
    names = [name for name in {**before, **after} if abs(after.get(name, 0.0) - before.get(name, 0.0)) > SAME]
    names.sort(key=lambda name: (name not in gone, after.get(name, 0.0) - before.get(name, 0.0), name))
    for name in names:
        share = before.get(name, 0.0)
        yield FatChange(
            name,
            share,
            after.get(name, 0.0),
            near.weighed.get(name, 0.0),
            on_balance.get(name, 0.0),
            gone.get(name, ""),
        )


def measure_changes(near: Near, judged: Judgement, told: Collection[str]) -> Iterator[MeasureChange]:
    """Each measure that is known of both, as it was and as it is."""
    for name in told:
        yield MeasureChange(name, near.values[name], judged.values[name], own_room(name))
