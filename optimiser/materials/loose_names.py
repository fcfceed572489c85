"""Names under which different things are sold, so that nobody can say how much alkali they take without a certificate."""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING, NamedTuple

from optimiser.materials.fat_table import fold
from optimiser.reference import rows

if TYPE_CHECKING:
    from collections.abc import Mapping


class LooseName(NamedTuple):
    """One such name: what kind of fat it is sold as, what it may hold (`tags`) and `why` it says too little.

    `like` is the reference fat whose acids it has where its certificate shows it to be one; "" where there is none.
    """

    name: str
    synonyms: tuple[str, ...]
    kind: str
    like: str
    tags: frozenset[str]
    why: str


@cache
def loose_names() -> Mapping[str, LooseName]:
    """Every one of them by each of its folded names."""
    found: dict[str, LooseName] = {}
    for row in rows("needs_certificate"):
        synonyms, tags = (tuple(filter(None, row[column].split(";"))) for column in ("synonyms", "tags"))
        item = LooseName(row["name"], synonyms, row["kind"], row["like"], frozenset(tags), row["why"])
        found |= {fold(called): item for called in (item.name, *synonyms)}
    return found


def find_loose(name: str) -> LooseName | None:
    """The loose name that this is, whatever its case, blanks, hyphens and underscores; None where it is none."""
    return loose_names().get(fold(name))
