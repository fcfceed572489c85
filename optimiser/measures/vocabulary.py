"""What makers say, in their own words, and what that is here: a goal, a share, a tag, a choice of the batch, or nothing.

A word is only a pointer: no key of ours is called so. The few that mean exactly one of our tags or kinds are taken as such
(`same_as`). The data are ``reference/vocabulary.csv``; a word with several meanings has a row for each.
"""

from __future__ import annotations

from functools import cache
from types import MappingProxyType
from typing import TYPE_CHECKING, NamedTuple

from optimiser.reference import rows
from optimiser.text.names import fold

if TYPE_CHECKING:
    from collections.abc import Mapping

SAME, NOTHING = "same", "nothing"
OF_A_BAR = (" bar", " bars", " soap", " soaps")


class Meaning(NamedTuple):
    """One thing that a word may mean here.

    `here` says in words what it is; `entry` is what to write under `section` of a goal file ("" is the file itself). Where
    `pointer` is "same" the word is taken for the entry under that section; where it is "nothing" there is no entry.
    """

    words: tuple[str, ...]
    pointer: str
    here: str
    section: str
    entry: str
    remark: str


@cache
def vocabulary() -> tuple[Meaning, ...]:
    """Every meaning, in file order."""
    fields = ("pointer", "here", "section", "entry", "remark")
    return tuple(
        Meaning(tuple(row["words"].split(";")), *(row[field] for field in fields)) for row in rows("vocabulary")
    )


@cache
def _by_word() -> Mapping[str, tuple[Meaning, ...]]:
    found: dict[str, tuple[Meaning, ...]] = {}
    for meaning in vocabulary():
        for word in map(fold, meaning.words):
            found[word] = (*found.get(word, ()), meaning)
    return MappingProxyType(found)


def every_word() -> tuple[str, ...]:
    """Every word of makers that is known, folded, in file order."""
    return tuple(_by_word())


def meanings(word: str) -> tuple[Meaning, ...]:
    """What a word may mean here, whatever its case, blanks, hyphens and underscores; empty where it is no maker's word.

    "gentle soap" is "gentle": what a bar is may be said with or without the bar.
    """
    folded = fold(word)
    stem = next((folded.removesuffix(last) for last in OF_A_BAR if folded.endswith(last)), folded)
    return _by_word().get(folded) or _by_word().get(stem, ())


@cache
def same_as(section: str) -> Mapping[str, str]:
    """The words that are taken for an entry of a section, folded: "dairy" for "milk" under free_from."""
    same = (meaning for meaning in vocabulary() if (meaning.pointer, meaning.section) == (SAME, section))
    return MappingProxyType({fold(word): meaning.entry for meaning in same for word in meaning.words})


def example_for(goal: str) -> str:
    """The first entry that a maker's word is answered with for a goal: "{at_least: 24}" for wear_life; "" where there is none."""
    entries = (meaning.entry.partition(": ") for meaning in vocabulary() if meaning.section == "goals")
    return next((figure for key, _, figure in entries if key == goal and figure.startswith("{")), "")


def example_by(word: str, goal: str) -> str:
    """What a maker's word is answered with where it means that goal: "{at_least: 56}" for "firm" of hardness; "" where not."""
    entries = (meaning.entry.partition(": ") for meaning in meanings(word) if meaning.section == "goals")
    return next((figure for key, _, figure in entries if key == goal), "")
