"""Which fats a limit on shares counts."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from optimiser.measures.sides import SubjectKind

if TYPE_CHECKING:
    from optimiser.materials.fat import Fat
    from optimiser.problem.limits import Limit

KINDS_OF_GROUP: Mapping[str, tuple[str, ...]] = {
    "solid fats": ("hard oil", "butter"),
    "hard oils": ("hard oil",),
    "butters": ("butter",),
    "liquid oils": ("liquid oil",),
    "waxes": ("wax",),
    "fatty acids": ("fatty acid",),
}


def falls_under(limit: Limit, fat: Fat) -> bool:
    """Whether a limit on shares counts a fat."""
    if limit.subject == SubjectKind.FAT:
        return limit.key in fat.called
    if limit.subject == SubjectKind.BASE:
        return fat.group == limit.key
    if limit.subject == SubjectKind.TAG:
        return limit.key in fat.tags
    return fat.kind in KINDS_OF_GROUP.get(limit.key, (limit.key,))
