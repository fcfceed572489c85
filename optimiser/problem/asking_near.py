"""A recipe in hand and wishes told from it, made in Python without a file: `blend_for(goals, shelf, near=recipe_of(...))`.

>>> from optimiser import blend_for, goals_of, shelf_of
>>> from optimiser.problem.asking_near import as_it_is, changed_by, recipe_of
>>> shelf = shelf_of({"olive oil": 7.4, "coconut oil": 3.1, "lard": 2.2}, sodium_hydroxide=2.4)
>>> recipe = recipe_of({"olive oil": 700, "coconut oil": 300}, superfat=5)
>>> found = blend_for(goals_of(changed_by("hardness", 1), practice=False), shelf, near=recipe)
>>> [(line.fat, round(line.share)) for line in found.fats]
[('olive oil', 65), ('coconut oil', 35)]
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from optimiser.measures.cure import USUAL_CURE, cured_water_at
from optimiser.measures.quantities import quantities
from optimiser.measures.sides import Side
from optimiser.problem.asking import PER, additive_named, fat_named, number, subject_of
from optimiser.problem.batch import DEFAULT_BAR, DEFAULT_BATTER
from optimiser.problem.limits import AS_IT_IS, BY, EXACTLY, NOWHERE, Limit
from optimiser.problem.recipe import Poured, RecipeSheet, Weighed
from optimiser.problem.relative import NO_RELATIVE, better
from optimiser.problem.wishes import Said

NONE: Mapping[str, float] = MappingProxyType({})


def recipe_of(  # noqa: PLR0913  # one argument per part of a recipe
    fats: Mapping[str, float],
    *,
    superfat: float = 5.0,
    lye_concentration: float = 33.0,
    potassium_share: float = 0.0,
    additives: Mapping[str, float] = NONE,
    liquids: Mapping[str, float] = NONE,
    gel: bool = False,
    cure_weeks: float = USUAL_CURE,
    title: str = "the recipe in hand",
) -> RecipeSheet:
    """A recipe in hand without a file.

    Args:
        fats: grams by name.
        superfat: per cent.
        lye_concentration: alkali in the lye, per cent.
        potassium_share: of the moles of alkali, per cent.
        additives: grams by name.
        liquids: per cent of what is poured in water's place, by name.
        gel: whether the bars are covered and go through gel.
        cure_weeks: how long they rest.
        title: what the answer calls it.

    Raises:
        ValueError: no fats, no such name, or a figure that no recipe can have.
        TypeError: a name that is no text, or a figure that is no number.

    >>> from optimiser import recipe_of
    >>> [(item.name, item.grams) for item in recipe_of({"olive": 700, "coconut": 300}).fats]
    [('olive oil', 700.0), ('coconut oil', 300.0)]
    """
    if not fats:
        raise ValueError("a recipe without fats makes no soap")
    for key, value in (
        ("superfat", superfat),
        ("lye_concentration", lye_concentration),
        ("potassium_share", potassium_share),
    ):
        known = quantities()[key]
        if not known.lowest <= number(value, known.words) <= known.highest:
            raise ValueError(f"{known.words} lies between {known.lowest:g} and {known.highest:g}, not at {value:g}")
    return RecipeSheet(
        path="",
        title=title,
        shelf=None,
        fats=tuple(Weighed(fat_named(name).name, _grams(name, grams), NOWHERE) for name, grams in fats.items()),
        alkali=(),
        superfat=superfat,
        potassium_share=potassium_share,
        water_g=None,
        lye_concentration=lye_concentration,
        additives=tuple(
            Weighed(additive_named(name).name, _grams(name, grams), NOWHERE) for name, grams in additives.items()
        ),
        batter_temperature=DEFAULT_BATTER,
        gel=gel,
        cured_water=cured_water_at(cure_weeks),
        bars=None,
        cured_weight_kg=DEFAULT_BAR,
        liquids=tuple(Poured(additive_named(name).name, None, share, NOWHERE) for name, share in liquids.items()),
        cure_weeks=cure_weeks,
    )


def changed_by(what: str, by: float, side: Side | None = None, *, per: str = "") -> Limit:
    """A wish told from the recipe in hand: so much more, or less where `by` is below zero.

    Args:
        what: what the files call it: "hardness", "cost", "olive oil".
        by: the difference, in the unit that it has there.
        side: "at_least", "at_most" or "exactly"; where none is given a better figure is meant, or that to which the sign points.
        per: of a cost alone: "kg" (also where nothing is said), "bar" or "lb".

    Raises:
        ValueError: no such name, or nothing that is told from a recipe.
        TypeError: a name that is no text, or a figure that is no number.
    """
    key, subject, words, unit, _, _ = subject_of(what)
    by = number(by, "a difference")
    if key in NO_RELATIVE or (per and key != "cost") or per not in ("", *PER):
        raise ValueError(f"{words} is not told from a recipe in hand{' per ' + per if per else ''}")
    asked = side or better(key) or (Side.AT_LEAST if by >= 0.0 else Side.AT_MOST)
    per = per or ("kg" if key == "cost" else "")
    told = f"{by:+g}{' / ' + per if per else ' %' if unit == '%' else ''}"
    return Limit(key, subject, asked, by, unit, Said(words, asked, told), NOWHERE, per, relative=BY)


def as_it_is(what: str) -> Limit:
    """A wish that a figure is as in the recipe in hand.

    A measure is so within what it is sure to, a share and what alkali stands at just so, a cost where it is no dearer.

    Raises:
        ValueError: no such name.
        TypeError: a name that is no text.
    """
    key, subject, words, unit, _, _ = subject_of(what)
    if key == "cost":
        return Limit(key, subject, Side.AT_MOST, 0.0, unit, Said(words, Side.AT_MOST), NOWHERE, "kg", relative=BY)
    return Limit(key, subject, EXACTLY, 0.0, unit, Said(words, EXACTLY, "as it is"), NOWHERE, relative=AS_IT_IS)


def _grams(name: str, told: object) -> float:
    grams = number(told, f"the grams of {name}")
    if not 0.0 < grams <= 1e8:
        raise ValueError(f"{grams:g} g of {name} cannot be weighed")
    return grams
