"""What stands for water: milks, juices, beer, tea, purees, by the water, sugar, fat and acid that they hold.

Their water is water of the lye, their acid takes alkali as any acid does (at its weakest in the worst case), and their
sugar warms the batter. Their fat is never counted on: it is left out of the superfat that a goal or a recipe speaks
of and of the alkali that is weighed for it, since nobody knows how much of it saponifies nor, of a carton at hand,
how much there is. It is told beside it, as fat left over, and softens the bar as free oil does. The data are
``reference/liquids.csv``.
"""

from __future__ import annotations

import re
from functools import cache
from types import MappingProxyType
from typing import TYPE_CHECKING

from optimiser.materials.additives import Additive, by_name, cells
from optimiser.materials.fat_table import fold
from optimiser.materials.lye import KOH
from optimiser.reference import rows

if TYPE_CHECKING:
    from collections.abc import Mapping

SMALL = ("", "of", "a", "an", "the", "from")
MOST_KEPT = 3  # letters: a shorter word is none of many
ALL_OF_IT = 100.0  # per cent: a liquid has no usual most beside that of the water it stands for


@cache
def liquids() -> Mapping[str, Additive]:
    """Every liquid by its name, sorted."""
    return MappingProxyType({row["liquid"]: _liquid(row) for row in rows("liquids")})


def find_liquid(name: str) -> Additive | None:
    """The liquid of this name or synonym, whatever its case, blanks, hyphens and underscores; None when unknown.

    Nor do plurals, possessives and the order of words count: "cows' milk" and "milk of a cow" are cow milk.
    """
    return _index().get(fold(name)) or _by_words().get(_words_of(name))


def own_liquid(name: str, model: Additive | None, water: float | None) -> Additive:
    """A liquid of the maker's own: like one of the table, with water of its own, or with nothing but water told of it.

    Where both are told the rest (sugar, fat, acid) is as much more or less as all that is not water.
    """
    if model is None:
        told = 1.0 if water is None else water
        return Additive(
            *(name, (), 0.0, 1.0 - told, told, frozenset(), "", "the shelf", "the maker's own", "", ALL_OF_IT),
            goes_in="split",
            is_liquid=True,
            heats="may",
        )
    made = model._replace(name=name, synonyms=(), like="" if name == model.name else model.base)
    return made if water is None else _concentrated(made, water)


def _concentrated(liquid: Additive, water: float) -> Additive:
    """The liquid with another share of water, and more or less of all the rest in proportion."""
    rest = 1.0 - liquid.water_fraction
    times = (1.0 - water) / rest if rest else 0.0
    return liquid._replace(
        water_fraction=water,
        dry_fraction=liquid.dry_fraction * times,
        sugar_fraction=liquid.sugar_fraction * times,
        fat_fraction=liquid.fat_fraction * times,
        fat_mol_per_kg=liquid.fat_mol_per_kg * times,
        alkali_mol_per_kg=liquid.alkali_mol_per_kg * times,
        alkali_low_mol_per_kg=liquid.alkali_low_mol_per_kg * min(1.0, times),
    )


@cache
def _index() -> Mapping[str, Additive]:
    return by_name(liquids().values())


@cache
def _by_words() -> Mapping[tuple[str, ...], Additive]:
    """The liquids by the words of their names; words that two of them share say too little and stand for neither."""
    found: dict[tuple[str, ...], Additive] = {}
    twice = set[tuple[str, ...]]()
    for liquid in liquids().values():
        for words in {_words_of(name) for name in (liquid.name, *liquid.synonyms)}:
            twice |= {words} & found.keys()
            found[words] = liquid
    return MappingProxyType({words: liquid for words, liquid in found.items() if words not in twice})


def _words_of(name: str) -> tuple[str, ...]:
    """The words of a name in order of the alphabet, without small words, and each without the s of a possessive or of many."""
    plain = re.sub(r"['\u2018\u2019](?=s?\b|\s|$)", "", fold(name))
    words = (word for word in re.split(r"[\s,]+", plain) if word not in SMALL)
    return tuple(sorted(word.removesuffix("s") if len(word) > MOST_KEPT else word for word in words))


def _liquid(row: Mapping[str, str]) -> Additive:
    fat = float(row["fat"])
    return Additive(
        name=row["liquid"],
        synonyms=cells(row["synonyms"]),
        alkali_mol_per_kg=_acid(row, row["acid_share"]),
        dry_fraction=float(row["dry"]),
        water_fraction=float(row["water"]),
        tags=frozenset(cells(row["tags"])),
        effect=row["effect"],
        source=row["source"],
        how=row["how"],
        note=row["note"],
        usual_high=ALL_OF_IT,
        goes_in=row["goes_in"],
        alkali_low_mol_per_kg=_acid(row, row["acid_share_low"]),
        is_liquid=True,
        sugar_fraction=float(row["sugar"]),
        fat_fraction=fat,
        fat_mol_per_kg=fat * float(row["fat_saponification_low"]) / KOH if fat else 0.0,
        locator=row["locator"],
        advice=row["advice"],
        advice_late=row["advice_late"],
        heats=row["heats"],
        made_first=row["made_first"],
    )


def _acid(row: Mapping[str, str], share: str) -> float:
    """Moles of alkali per kg that the acid takes (stoichiometry)."""
    if not row["acid"]:
        return 0.0
    return float(row["acid_equivalents"]) * float(share) / float(row["acid_molar_mass"]) * 1000.0
