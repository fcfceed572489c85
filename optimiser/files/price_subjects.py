"""What the prices of scenarios are of: fats, kinds and tags of fats, additives, liquids and alkalis of one or more shelves."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import NamedTuple

from optimiser.files.keys import Known, find_alkali, share_subject
from optimiser.materials.fat import Fat
from optimiser.measures.sides import SubjectKind
from optimiser.problem.falling import KINDS_OF_GROUP
from optimiser.problem.shelf import Shelf
from optimiser.text.codes import Code
from optimiser.text.diagnostics import Diagnostic
from optimiser.text.forms import Faults
from optimiser.text.names import fold
from optimiser.text.nodes import Node, Text

ALL = "all fats"
ALL_FATS = (ALL, "all oils", "fats", "all")


class Priced(NamedTuple):
    """All that has a price on some shelves: fats by name, sorted, and the names of what else is sold there, sorted."""

    fats: Mapping[str, Fat]
    others: tuple[str, ...]

    @property
    def names(self) -> tuple[str, ...]:
        """Every name: the fats, then the rest."""
        return (*self.fats, *self.others)


class Named(NamedTuple):
    """What a word stands for: which things on the shelves, and whether it names one of them rather than a kind or a tag."""

    word: str
    members: frozenset[str]
    is_one: bool


def priced_on(shelves: Iterable[Shelf]) -> Priced:
    """What has a price on some shelves."""
    fats: dict[str, Fat] = {}
    others: set[str] = set()
    for shelf in shelves:
        for item in shelf.fats:
            fats.setdefault(item.fat.name, item.fat)
        others |= {*shelf.alkalis, *shelf.additives, *shelf.liquids}
    return Priced(dict(sorted(fats.items())), tuple(sorted(others - fats.keys())))


def named(key: Text, node: Node, priced: Priced) -> Named:
    """What a word stands for; what is on no shelf is nothing that could be priced, and a fat of the maker's own that is like one of the table goes with it.

    Raises:
        Faults: it is nothing that has a price; the help names the nearest.
    """
    if fold(key) in ALL_FATS:
        return Named(ALL, frozenset(priced.fats), is_one=False)
    if fold(key) == "water":
        raise Faults(Diagnostic(Code.UNKNOWN_FAT, "water has no price here", "take it out: it costs nothing", key.span))
    alkali = find_alkali(key)
    other = alkali or next((name for name in priced.others if fold(name) == fold(key)), None)
    if other is not None:
        return Named(other, frozenset({other} & set(priced.others)), is_one=True)
    own = {fold(name): name for name in priced.fats}
    extra = Known().additive(key) or Known().liquid(key)
    if extra is not None:
        return Named(extra.name, frozenset({extra.name} & set(priced.others)), is_one=True)
    found = share_subject(key, node, Known(own_fats=lambda: own))
    if found.kind == SubjectKind.FAT:
        members = {name for name, fat in priced.fats.items() if found.key in (name, fat.group)}
        return Named(found.key, frozenset(members), is_one=True)
    if found.kind == SubjectKind.TAG:
        members = {name for name, fat in priced.fats.items() if found.key in fat.tags}
    else:
        kinds = KINDS_OF_GROUP.get(found.key, (found.key,))
        members = {name for name, fat in priced.fats.items() if fat.kind in kinds}
    return Named(found.key, frozenset(members), is_one=False)


def group_of(name: str, priced: Priced) -> str:
    """What a price moves with: fats that are built on one go together."""
    fat = priced.fats.get(name)
    return name if fat is None else fat.group


def in_step(
    spreads: Mapping[str, float], priced: Priced
) -> tuple[dict[str, float], tuple[float, ...], tuple[str, ...]]:
    """What moves as one: the spread of each group, how far each price goes for one of its group, and which go further or less.

    The spread of a group is that of the fat that it is named by, where that has one.
    """
    sizes: dict[str, float] = {}
    for name in sorted(spreads, key=lambda one: one != group_of(one, priced)):
        if spreads[name] > 0.0:
            sizes.setdefault(group_of(name, priced), spreads[name])
    scale = tuple(spreads.get(name, 0.0) / sizes.get(group_of(name, priced), 1.0) for name in priced.names)
    own = tuple(name for name, by in zip(priced.names, scale, strict=True) if by > 0.0 and by != 1.0)
    return sizes, scale, own
