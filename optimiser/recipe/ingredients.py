"""Lists of ingredients by their INCI names: as charged and as saponified, heaviest first, colours last.

Names are data (``reference/label_names.csv``, ``reference/label_extras.csv``) or the maker's own; what goes by one name is one
ingredient, whatever lots or grades it came in, and no order of the file shows.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from typing import NamedTuple

from optimiser.materials.additives import Additive
from optimiser.materials.fat import Fat
from optimiser.materials.fat_table import fold
from optimiser.materials.label_names import GLYCERIN, STATED, WATER, extra_names, names_of_extra, without_brackets
from optimiser.materials.lye import POTASSIUM, SODIUM
from optimiser.recipe.evaluation import Recipe
from optimiser.recipe.finished import Ends, Finished

COLOUR, SCENT, ALLERGEN = "colour", "scent", "allergen"
VERIFIED, UNVERIFIED, WANTING = "verified", "unverified", "wanting"
ANY_ORDER = 1.0  # per cent below which an ingredient may stand anywhere after the others: Regulation (EC) No 1223/2009, Article 19(1)(g)


class Ingredient(NamedTuple):
    """One name of a list. `share` is per cent of the whole, `of` what the maker calls what bears it.

    `in_eu` is the name as the European Union writes it. `status`: "verified" or "unverified" in the reference table, "stated" by the
    maker's shelf, "wanting" where there is no name and the maker's own stands for it. An "allergen" is within its scent.
    """

    name: str
    in_eu: str
    grams: float
    share: float
    of: tuple[str, ...]
    status: str
    group: str = ""

    @property
    def is_little(self) -> bool:
        """Whether it may stand in any order after what there is more of."""
        return self.share < ANY_ORDER


class Part(NamedTuple):
    """Some grams under a name."""

    name: str
    grams: float
    of: str
    status: str
    in_eu: str = ""
    group: str = ""


def as_charged(recipe: Recipe, within: Iterable[Part] = ()) -> tuple[Ingredient, ...]:
    """What was weighed out, heaviest first; a solution as what is dissolved and its water. `within` are allergens of scents."""
    parts = [oil(fat, grams) for fat, grams in recipe.fats]
    parts += [known(SODIUM, recipe.sodium_hydroxide), known(POTASSIUM, recipe.potassium_hydroxide)]
    for item, grams in recipe.additives:
        names = names_of_extra(item)
        water = item.water_fraction * grams if names is not None and names.is_solution else 0.0
        parts += [extra(item, grams - water), known(WATER, water)]
    return listed([*parts, known(WATER, recipe.water)], within)


def as_saponified(end: Finished, within: Iterable[Part] = ()) -> tuple[Ingredient, ...]:
    """What the bar is made of, heaviest first: soaps, glycerin, salts, fat left over, water."""
    parts = [part for fat, ends in end.fats for part in ended_fat(fat, ends)]
    parts += [part for item, ends in end.additives for part in ended_extra(item, ends)]
    parts += [known(GLYCERIN, end.glycerin), known(WATER, end.water)]
    return listed([*parts, known(SODIUM, end.sodium_hydroxide), known(POTASSIUM, end.potassium_hydroxide)], within)


def listed(parts: Sequence[Part], within: Iterable[Part] = ()) -> tuple[Ingredient, ...]:
    """Parts put together by name, heaviest first and then by name; colours come after all else."""
    whole = math.fsum(part.grams for part in parts)
    gathered: dict[str, list[Part]] = {}
    for part in (*parts, *within):
        if part.grams > 0.0:
            gathered.setdefault(part.name, []).append(part)
    made = [together(group, whole) for group in gathered.values()]
    return tuple(sorted(made, key=lambda one: (one.group == COLOUR, -round(one.grams, 6), fold(one.name))))


def together(group: Sequence[Part], whole: float) -> Ingredient:
    """Parts of one name as one ingredient, as sure of its name as the least sure of them."""
    grams = math.fsum(part.grams for part in group)
    first = min(group, key=lambda part: (part.status, part.of))
    surest = next((one for one in (WANTING, UNVERIFIED) if any(part.status == one for part in group)), first.status)
    of = tuple(sorted({part.of for part in group}))
    in_eu = first.in_eu or without_brackets(first.name)
    return Ingredient(first.name, in_eu, grams, 100.0 * grams / whole, of, surest, first.group)


def known(what: str, grams: float) -> Part:
    """Water, an alkali or glycerin."""
    names = extra_names()[what]
    return Part(names.name, grams, what, VERIFIED if names.verified else UNVERIFIED, names.in_eu)


def oil(fat: Fat, grams: float) -> Part:
    """A fat as it is."""
    return of_fat(fat, fat.label.oil if fat.label else "", grams, in_eu=fat.label.in_eu if fat.label else "")


def of_fat(fat: Fat, name: str, grams: float, *, instead: str = "", in_eu: str = "") -> Part:
    """A fat, or its soap, under a name; where there is none the maker's own words stand for it."""
    if not name or fat.label is None:
        return Part(instead or fat.name, grams, fat.name, WANTING)
    status = STATED if is_stated(fat) else VERIFIED if fat.label.verified else UNVERIFIED
    return Part(name, grams, fat.name, status, in_eu)


def is_stated(fat: Fat) -> bool:
    """Whether the shelf states its names."""
    return fat.label is not None and fat.label.how == STATED


def ended_fat(fat: Fat, ends: Ends) -> Iterator[Part]:
    """Its soaps and what is left of it; a wax of which no soap has a name goes by its own."""
    told = fat.label
    if fat.kind == "wax" and told is not None and told.oil and not told.sodium_soap:
        yield oil(fat, math.fsum(ends))
        return
    for metal, name, grams in (
        ("Sodium", told.sodium_soap if told else "", ends.sodium),
        ("Potassium", told.potassium_soap if told else "", ends.potassium),
    ):
        yield of_fat(fat, name, grams, instead=f"{metal} soap of {fat.name}")
    yield oil(fat, ends.left)


def extra(item: Additive, grams: float) -> Part:
    """An additive or a liquid as it is."""
    names = names_of_extra(item)
    group = names.group if names is not None else ""
    if item.inci:
        return Part(item.inci, grams, item.name, STATED, "", group)
    if names is None or not names.name:
        return Part(item.name, grams, item.name, WANTING, "", group)
    return Part(names.name, grams, item.name, VERIFIED if names.verified else UNVERIFIED, names.in_eu, group)


def ended_extra(item: Additive, ends: Ends) -> Iterator[Part]:
    """Its salts and what is left of it."""
    names = names_of_extra(item)
    for metal, name, grams in (
        ("Sodium", names.sodium_salt if names else "", ends.sodium),
        ("Potassium", names.potassium_salt if names else "", ends.potassium),
    ):
        if name and names is not None:
            yield Part(name, grams, item.name, VERIFIED if names.verified else UNVERIFIED)
        else:
            yield Part(f"{metal} salt of {item.name}", grams, item.name, WANTING)
    yield extra(item, ends.left)
