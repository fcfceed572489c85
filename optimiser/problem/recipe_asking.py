"""A recipe in hand made in Python, without a file: the same value as a recipe file is read into."""

from __future__ import annotations

import math
from collections.abc import Mapping

from optimiser.materials.fat_table import reference
from optimiser.measures.cure import USUAL_CURE, cured_water_at
from optimiser.problem.asking import NONE, number_of, unknown_name
from optimiser.problem.batch import DEFAULT_BAR, DEFAULT_BATTER
from optimiser.problem.goals import extra_named
from optimiser.problem.limits import NOWHERE
from optimiser.problem.recipe import RecipeSheet, Weighed
from optimiser.problem.shelf import Shelf

MOST_GRAMS = 1e8


def recipe_of(
    fats: Mapping[str, float],
    *,
    superfat: float = 5.0,
    lye_concentration: float = 33.0,
    additives: Mapping[str, float] = NONE,
    shelf: Shelf | None = None,
    title: str = "a recipe",
) -> RecipeSheet:
    """A recipe without a file.

    Args:
        fats: grams by name.
        superfat: per cent of the fats left unsaponified; the alkali is worked out for it.
        lye_concentration: alkali as a share of the lye, per cent.
        additives: grams by name.
        shelf: where fats of the maker's own are looked up.
        title: what an answer calls it.

    Raises:
        ValueError: no such fat or additive, one of them twice, no fat at all, or a figure that nothing can have.
        TypeError: a figure that is no number.

    >>> from optimiser import recipe_of
    >>> [(item.name, item.grams) for item in recipe_of({"olive": 700, "coconut": 300}).fats]
    [('olive oil', 700.0), ('coconut oil', 300.0)]
    """
    if not fats:
        raise ValueError("a recipe without fats makes no soap")
    weighed = tuple(Weighed(_fat_name(name, shelf), _grams(name, grams), NOWHERE) for name, grams in fats.items())
    names = [item.name for item in weighed]
    twice = next((name for name in names if names.count(name) > 1), None)
    if twice is not None:
        raise ValueError(f"{twice} stands in the recipe twice")
    for what, told, low, high in (
        ("superfat", superfat, 0.0, 99.0),
        ("lye concentration", lye_concentration, 10.0, 50.0),
    ):
        if not low <= number_of(told, what) <= high:
            raise ValueError(f"{what} lies between {low:g} and {high:g}, not at {told:g}")
    own = {} if shelf is None else {name: item.additive for name, item in shelf.extras.items()}
    try:
        added = tuple(
            Weighed(extra_named(name, own).name, _grams(name, grams), NOWHERE) for name, grams in additives.items()
        )
    except KeyError as none:
        raise ValueError(f"{none.args[0]!r} is no additive that is known here") from None
    return RecipeSheet(
        path="",
        title=title,
        shelf=None,
        fats=weighed,
        alkali=(),
        superfat=float(superfat),
        potassium_share=0.0,
        water_g=None,
        lye_concentration=float(lye_concentration),
        additives=added,
        batter_temperature=DEFAULT_BATTER,
        gel=False,
        cured_water=cured_water_at(USUAL_CURE),
        bars=None,
        cured_weight_kg=DEFAULT_BAR,
    )


def _fat_name(name: str, shelf: Shelf | None) -> str:
    own = () if shelf is None else tuple(item.fat.name for item in shelf.fats)
    if name in own:
        return name
    found = reference().find(name)
    if found is None:
        raise unknown_name(name, "fat", (*reference().every_name(), *own))
    return found.name


def _grams(name: str, told: object) -> float:
    grams = number_of(told, f"the mass of {name}")
    if not (math.isfinite(grams) and 0.0 < grams <= MOST_GRAMS):
        raise ValueError(f"{grams:g} g of {name} cannot be weighed")
    return grams
