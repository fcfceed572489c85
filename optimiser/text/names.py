"""Comparing names as people write them, and offering the nearest known ones."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import lru_cache

LONGEST = 60  # a longer word is no name that anyone misspelt, and comparing it is slow
MOST_FOLDED = 1000  # letters of a name; a longer text is none, and is like nothing but itself
FEW = 14  # as many names as one can still be told in full
QUOTES = "\u2018\u2019\u201a\u201c\u201d\u201e\u00ab\u00bb"
AROUND = f"{QUOTES} %`{{}}[]()<>;:!?*"  # signs that stand around a word by a slip


def fold(name: str) -> str:
    """One form for all ways to write a name: case, blanks, underscores and hyphens do not count; a text is no name."""
    if len(name) > MOST_FOLDED:
        return name
    return re.sub(r"[\s_\-\u2010-\u2015]+", " ", unicodedata.normalize("NFKC", name)).strip().casefold()


def shown(word: str, longest: int = 40) -> str:
    """A word in quotes for a message, shortened if need be."""
    flat = " ".join(word.split())
    return f"'{flat}'" if len(flat) <= longest else f"'{flat[: longest - 1]}…'"


COMMON = frozenset(("oil", "oils", "butter", "butters", "fat", "fats", "wax", "waxes", "acid", "acids"))
"""Words that many names share, so that they bring no two names nearer to each other."""
ALL_BUT = 0.9  # for whole names beside others that are near by what sets them apart
VERY_ALIKE = 0.8  # for whole names, the shared words among them
ALIKE = 0.66  # of what sets a name apart: one letter in three may be a slip; below it suggestions are far-fetched
ALIKE_SHORT = 0.5  # for words of three letters at most
FURTHER = 2  # slips by which a name may be further off than the nearest and still be offered beside it


def _apart(folded: str) -> str:
    """What sets a name apart: the name without the words that many share."""
    return " ".join(part for part in folded.split() if part not in COMMON) or folded


@dataclass(frozen=True, slots=True)
class _Index:
    """Known names, looked through for every unknown one: as given, folded, what sets each apart; and all in one text."""

    names: tuple[str, ...]
    folded: tuple[str, ...]
    apart: tuple[str, ...]
    in_order: str


@lru_cache(maxsize=16)
def _indexed(names: tuple[str, ...]) -> _Index:
    """The same names are searched for every fault of a file."""
    by_folded: dict[str, str] = {}
    for name in names:
        if len(name) <= LONGEST:
            by_folded.setdefault(fold(name), name)
    folded = tuple(by_folded)
    in_order = "".join(f"\n {name} \n" for name in sorted(folded))
    return _Index(tuple(by_folded.values()), folded, tuple(map(_apart, folded)), in_order)


def nearest(word: str, names: Iterable[str], most: int = 3) -> tuple[str, ...]:
    """Up to `most` known names near to the word, nearest first; no word or name beyond 60 letters is looked at.

    Near is counted in slips: a letter left out, put in, written for another, or changed about with its neighbour
    (Damerau 1964, each place mended once).
    """
    folded = fold(word).strip(AROUND) if len(word) <= LONGEST else ""
    if not 0 < len(folded) <= LONGEST:  # folding may make a word longer
        return ()
    index = _indexed(tuple(names))
    found = _by_slips(folded, index)[:most]
    if len(found) < most and len(folded) > 2:  # "olive" for "olive oil": far by its slips, plain to a person
        found += _containing(folded, index, found)[: most - len(found)]
    return tuple(index.names[place] for place in found)


def _by_slips(folded: str, index: _Index) -> list[int]:
    """Places of the names that are few slips away, fewest first; of several that are one thing, the nearest as a whole."""
    from rapidfuzz import process  # loaded where there is a fault to tell
    from rapidfuzz.distance import OSA

    def within(what: str, known: tuple[str, ...], least: float) -> list[int]:
        found = process.extract(what, known, scorer=OSA.normalized_similarity, limit=None, score_cutoff=least)
        return [place for _, _, place in found]

    close = folded.replace(" ", "")
    parted = [place for place, name in enumerate(index.folded) if name.replace(" ", "") == close]
    if parted:  # only a blank is too many or too few
        return parted
    apart = _apart(folded)
    near = within(apart, index.apart, ALIKE if len(folded) > 3 else ALIKE_SHORT)
    # the slip may be in a word that many share, or between two words
    near += [place for place in within(folded, index.folded, ALL_BUT if near else VERY_ALIKE) if place not in near]

    def rank(place: int) -> tuple[int, int, bool, int, int]:
        name = index.folded[place]
        whole = OSA.distance(folded, name)  # a tie goes to the longer name: letters are left out more often than put in
        return min(whole, OSA.distance(apart, index.apart[place])), whole, folded[0] != name[0], -len(name), place

    ranked = sorted(map(rank, near))
    best: dict[str, int] = {}
    for slips, *_, place in ranked:
        if slips <= ranked[0][0] + FURTHER:
            best.setdefault(index.apart[place], place)
    return list(best.values())


def _containing(folded: str, index: _Index, found: Sequence[int]) -> list[int]:
    """Places of the names in which a word, or several, stand whole."""
    out, at = list[int](), index.in_order.find(f" {folded} ")
    while at >= 0:
        start, end = index.in_order.rfind("\n", 0, at) + 2, index.in_order.find("\n", at) - 1
        place = index.folded.index(index.in_order[start:end])
        if place not in found:
            out.append(place)
        at = index.in_order.find(f" {folded} ", end)
    return out


def listed(names: Sequence[str], last: str = "or") -> str:
    """'a', 'b' or 'c'."""
    quoted = [f"'{name}'" for name in names]
    return quoted[0] if len(quoted) == 1 else f"{', '.join(quoted[:-1])} {last} {quoted[-1]}"


def offer(word: str, names: Iterable[str], otherwise: str = "") -> str:
    """A sentence of help for an unknown word: the nearest names, or all of them if they are few, or `otherwise`."""
    known = tuple(names)
    found = nearest(word, known)
    quotes = "write it without the curly quotes; " if any(mark in word for mark in QUOTES) else ""
    if found:
        return f"{quotes}did you mean {listed(found)}?"
    if 0 < len(known) <= FEW:
        return f"{quotes}known here: {', '.join(known)}"
    return quotes + otherwise
