"""What a share of the fats may be asked of, by name: a fat, a kind, a group of kinds, a tag."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache

from optimiser.materials.additives import additives
from optimiser.materials.borrowing import INFUSED_TAG
from optimiser.materials.fat import GROUPS, KINDS, PLURALS
from optimiser.materials.fat_table import fold as fold_fat
from optimiser.materials.fat_table import reference
from optimiser.materials.liquids import liquids
from optimiser.measures.sides import SubjectKind
from optimiser.measures.vocabulary import same_as
from optimiser.text.names import fold

ADJECTIVES = (
    "lauric",
    "oleic",
    "fine",
    "half-drying",
    "hydrogenated",
    "infused",
    "strong smelling",
    "strongly unsaturated",
)
"""Tags that say what oils are like: a share of such is told as one of oils, since under goals "oleic" is the acid."""


def share_words(name: str, kind: SubjectKind) -> str:
    """What a share is of, in words: "oleic oils" for the tag oleic, and the name of a fat or a kind as it is."""
    return f"{name} oils" if kind == SubjectKind.TAG and name in ADJECTIVES else name


@cache
def tags_by_word() -> Mapping[str, str]:
    """Every tag of a fat, an additive or a liquid, by its folded name; and that of fats with herbs in them."""
    extra = {tag for item in (*additives().values(), *liquids().values()) for tag in item.tags}
    return {fold(tag): tag for tag in sorted(reference().tags() | extra | {INFUSED_TAG})}


def tag_called(name: str) -> str | None:
    """The tag of this name, or that another word means exactly: "dairy" is milk; None where there is none."""
    folded = fold(name)
    return tags_by_word().get(folded) or same_as("free_from").get(folded)


@cache
def kinds_by_word() -> Mapping[str, tuple[str, SubjectKind]]:
    """Folded words to (canonical name, a kind or a group); "soft oils" are liquid oils."""
    words = {fold(kind): (PLURALS[kind], SubjectKind.KIND) for kind in KINDS}
    words |= {fold(plural): (plural, SubjectKind.KIND) for plural in PLURALS.values()}
    words |= {fold(group): (group, SubjectKind.GROUP) for group in GROUPS}
    return words | {word: words[kind] for word, kind in same_as("shares").items()}


def share_named(name: str) -> tuple[str, SubjectKind] | None:
    """A fat of the reference under its full name, a kind, a tag, and last a fat under a shortened name.

    "palm" is the tag, and "palm oil" the fat.
    """
    full = reference().index.get(fold_fat(name))
    if full is not None:
        return full, SubjectKind.FAT
    folded = fold(name)
    if folded in kinds_by_word():
        return kinds_by_word()[folded]
    if folded in tags_by_word():
        return tags_by_word()[folded], SubjectKind.TAG
    if folded.removesuffix(" oils") in ADJECTIVES:
        return folded.removesuffix(" oils"), SubjectKind.TAG
    if folded in same_as("free_from"):  # "dairy" is no shortened "dairy butter"
        return None
    fat = reference().find(name)
    return None if fat is None else (fat.name, SubjectKind.FAT)
