"""Comparing names as people write them, and offering the nearest known ones."""

from __future__ import annotations

import difflib
import re
import unicodedata
from collections.abc import Iterable, Sequence
from functools import lru_cache

LONGEST = 60  # a longer word is no name that anyone misspelt, and comparing it is slow
MOST_FOLDED = 1000  # letters of a name; a longer text is none, and is like nothing but itself
FEW = 14  # as many names as one can still be told in full
QUOTES = "\u2018\u2019\u201a\u201c\u201d\u201e\u00ab\u00bb"


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
VERY_ALIKE = 0.86  # for whole names, the shared words among them
ALIKE_SHORT = 0.66  # for words of three letters at most, where one letter is a third
ALIKE = 0.74  # of what sets a name apart, as difflib counts; below it suggestions are far-fetched


def _apart(folded: str) -> str:
    """What sets a name apart: the name without the words that many share."""
    return " ".join(part for part in folded.split() if part not in COMMON) or folded


def _likeness(one: str, other: str) -> float:
    return difflib.SequenceMatcher(None, one, other).ratio()


@lru_cache(maxsize=16)
def _prepared(names: tuple[str, ...]) -> tuple[dict[str, str], dict[str, list[str]], tuple[str, ...]]:
    """Known names by their folded form; those by what sets them apart; and the folded forms sorted.

    The same names are searched for every fault of a file.
    """
    by_folded: dict[str, str] = {}
    for name in names:
        if len(name) <= LONGEST:
            by_folded.setdefault(fold(name), name)
    by_part: dict[str, list[str]] = {}
    for name in by_folded:
        by_part.setdefault(_apart(name), []).append(name)
    return by_folded, by_part, tuple(sorted(by_folded))


def nearest(word: str, names: Iterable[str], most: int = 3) -> tuple[str, ...]:
    """Up to `most` known names near to the word, nearest first; no word or name beyond 60 letters is looked at."""
    folded = fold(word).strip(QUOTES) if len(word) <= LONGEST else ""
    if not 0 < len(folded) <= LONGEST:  # folding may make a word longer
        return ()
    by_folded, by_part, in_order = _prepared(tuple(names))
    parts = difflib.get_close_matches(_apart(folded), by_part, n=most, cutoff=ALIKE if len(folded) > 3 else ALIKE_SHORT)
    found = [max(by_part[part], key=lambda name: _likeness(folded, name)) for part in parts]
    if not found:  # the slip may be in a word that many share, or between two words
        found = difflib.get_close_matches(folded, by_folded, n=most, cutoff=VERY_ALIKE)
    for name in in_order:  # "olive" for "olive oil": too short for difflib, plain to a person
        if len(found) < most and len(folded) > 2 and f" {name} ".find(f" {folded} ") >= 0 and name not in found:
            found.append(name)
    return tuple(by_folded[name] for name in found)


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
