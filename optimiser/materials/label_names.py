"""Names for an ingredient list of what is no fat, and of the allergens of scents; a fat carries its own (`fat.LabelNames`).

The data are ``reference/label_extras.csv`` and ``reference/scent_allergens.csv``.
"""

from __future__ import annotations

import re
from functools import cache
from types import MappingProxyType
from typing import TYPE_CHECKING, NamedTuple

from optimiser.materials.additives import Additive, cells
from optimiser.materials.fat_table import fold
from optimiser.reference import rows

if TYPE_CHECKING:
    from collections.abc import Mapping

_BRACKETS = re.compile(r"\s*\([^()]*\)")
WATER, GLYCERIN = "water", "glycerol"
STATED = "stated"
"""How a name is known that the shelf states."""


class ExtraNames(NamedTuple):
    """Names of an additive, a liquid, an alkali or what forms: as it goes in, and of the salts that it ends as.

    `name` is empty where there is no one name, and `ask` says what a maker must look up. `in_eu` is the European Union's name where
    that is another word. `group` is "colour", "scent" or "". `is_solution`: its water is water of the list.
    """

    name: str
    in_eu: str
    sodium_salt: str
    potassium_salt: str
    group: str
    is_solution: bool
    ask: str
    source: str
    verified: bool


@cache
def extra_names() -> Mapping[str, ExtraNames]:
    """Names by what they are of."""
    return MappingProxyType(
        {
            row["what"]: ExtraNames(
                name=row["name"],
                in_eu=row["in_eu"],
                sodium_salt=row["sodium_salt"],
                potassium_salt=row["potassium_salt"],
                group=row["group"],
                is_solution=row["solution"] == "yes",
                ask=row["ask"],
                source=row["source"],
                verified=row["verified"] == "yes",
            )
            for row in rows("label_extras")
        }
    )


def names_of_extra(item: Additive) -> ExtraNames | None:
    """The names of an additive or a liquid, those of its likeness for one of the maker's own; None where there are none."""
    return extra_names().get(item.base)


def without_brackets(name: str) -> str:
    """A name as the European Union writes it: the English word in brackets left out."""
    return _BRACKETS.sub("", name).strip()


@cache
def _allergens() -> Mapping[str, str]:
    """Allergens of scents by every folded name of theirs."""
    return MappingProxyType(
        {
            fold(called): row["allergen"]
            for row in rows("scent_allergens")
            for called in (row["allergen"], *cells(row["synonyms"]))
        }
    )


def find_allergen(name: str) -> str | None:
    """The allergen of this name or synonym, as a list of ingredients names it; None when it is not among those known here."""
    return _allergens().get(fold(name))


def allergen_names() -> tuple[str, ...]:
    """Every allergen that is known here, sorted."""
    return tuple(row["allergen"] for row in rows("scent_allergens"))
