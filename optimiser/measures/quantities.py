"""Everything that a goal can be set on: the bar measures, the figures of the batch, the acids and their groups."""

from __future__ import annotations

from functools import cache
from types import MappingProxyType
from typing import TYPE_CHECKING, NamedTuple

from optimiser.materials.fat_table import fold
from optimiser.materials.fatty_acids import Acid, acids
from optimiser.measures.measures import ACID_GROUPS, Band, Measure, measures
from optimiser.reference import rows

if TYPE_CHECKING:
    from collections.abc import Mapping


class Quantity(NamedTuple):
    """One key that may stand under `goals`.

    `scale` is the step a maker would call a small change; `about` is one sentence. A limit below `lowest` or above
    `highest` is a slip of the pen, not a wish. All three figures are in `unit`. `only_at_least`: no more of it may be asked
    for than at least some, since a limit from above would part the blends that meet it.
    """

    id: str
    words: str
    unit: str
    scale: float
    about: str
    bands: tuple[Band, ...]
    lowest: float
    highest: float
    only_at_least: bool = False


_ACID_SCALE = 5.0
ONLY_AT_LEAST = ("likely_superfat",)


def _of_measure(measure: Measure, row: Mapping[str, str]) -> Quantity:
    about = f"Predicts {measure.predicts}; high means {measure.high_means}."
    return Quantity(
        *(measure.id, measure.words, measure.unit, measure.scale, about, measure.bands),
        lowest=float(row["lowest"]),
        highest=float(row["highest"]),
    )


def _of_row(row: Mapping[str, str]) -> Quantity:
    return Quantity(
        *(row["quantity"], row["words"], row["unit"], float(row["scale"]), row["about"], ()),
        lowest=float(row["lowest"]),
        highest=float(row["highest"]),
        only_at_least=row["quantity"] in ONLY_AT_LEAST,
    )


def _of_acid(acid: Acid) -> Quantity:
    words = f"{acid.name} acid"
    about = f"Share of the fatty acids that is {words} ({acid.id})."
    return Quantity(acid.id, words, "%", _ACID_SCALE, about, (), lowest=0.0, highest=100.0)


@cache
def quantities() -> Mapping[str, Quantity]:
    """Every key allowed under `goals`, by id: measures first, then figures of the batch, groups of acids, acids."""
    listed = [_of_measure(measures()[row["measure"]], row) for row in rows("measures")]
    listed += [_of_row(row) for row in rows("quantities")]
    listed += [_of_acid(acid) for acid in acids().values()]
    return MappingProxyType({quantity.id: quantity for quantity in listed})


@cache
def _by_name() -> Mapping[str, str]:
    """Folded names to ids; where an acid and a group share a name, the group has it."""
    names: dict[str, str] = {}
    for row in rows("acids"):
        own = (row["acid"], row["name"], f"{row['name']} acid")
        more = [name.strip() for name in row["synonyms"].split(";") if name.strip()]
        for name in (*own, *more, *(f"{name} acid" for name in more)):
            names[fold(name)] = row["acid"]
    for group in ACID_GROUPS:
        for name in (group, f"{group} acid", f"{group} acids", group.replace("_and_", "_")):
            names[fold(name)] = group
    for quantity in quantities().values():
        if quantity.id not in acids():
            names[fold(quantity.id)] = names[fold(quantity.words)] = quantity.id
    return names


def find_quantity(name: str) -> Quantity | None:
    """The quantity that a maker calls `name`, whatever its case, blanks, underscores and hyphens; None if none.

    Acids answer to their id, their name with or without "acid", and their synonyms: "C18:1", "oleic", "Oleic acid".
    """
    found = _by_name().get(fold(name))
    return quantities()[found] if found else None
