"""Names of columns and rows that other programs can read: unique, in letters that every solver's files allow."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable

from optimiser.model.programme import Programme

LONGEST = 80  # signs of a label, before what makes it unique; some solvers read no more than 100
NAMELESS = "x"  # what stands for a name that has no letter of ours
_PARTS = re.compile(r"(\.)")
_OTHERS = re.compile(r"[^A-Za-z0-9_.]+")


def column_labels(programme: Programme) -> tuple[str, ...]:
    """A label for each column: `fat.olive_oil`, `alkali.sodium_hydroxide`, `water`, `used.olive_oil`, `less.olive_oil`, `short.prefer.0...`.

    A part of a programme, which has lost its rows, is numbered: c0001.
    """
    if not programme.rows:
        return numbered("c", programme.matrix.shape[1], programme)
    columns = programme.columns
    names = [one.name if one.kind == one.name else f"{one.kind}.{one.name}" for one in columns.all]
    names += [
        f"{'used' if one.is_whole else 'counts'}.{columns.fats[one.fats[0]].known_as}" for one in programme.switches
    ]
    names += [f"{one.kind}.{one.name}" for one in programme.apart]
    names += [f"short.{programme.rows[place].wish}" for preference in programme.soft for place in preference.rows]
    names += [column.name for column in programme.bought]
    return unique(map(label, names))


def row_labels(programme: Programme) -> tuple[str, ...]:
    """A label for each row, after its id: `goals.hardness.at_least`, `physics.shares`; numbered as columns are."""
    if not programme.rows:
        return numbered("r", len(programme.matrix), programme)
    return unique(label(str(row.wish)) for row in programme.rows)


def numbered(letter: str, count: int, programme: Programme) -> tuple[str, ...]:
    """So many labels of a letter and a number, all of one length."""
    width = len(str(max(programme.matrix.shape)))
    return tuple(f"{letter}{place:0{width}d}" for place in range(count))


def label(name: str) -> str:
    """A name in plain letters, digits, dots and underscores, part by part between its dots."""
    plain = unicodedata.normalize("NFKD", name).encode("ascii", "ignore").decode("ascii")
    parts = (part if part == "." else _OTHERS.sub("_", part).strip("_") or NAMELESS for part in _PARTS.split(plain))
    return "".join(parts)[:LONGEST]


def unique(labels: Iterable[str]) -> tuple[str, ...]:
    """The labels with a number behind each that was there before, whatever its case."""
    taken: set[str] = set()
    out = []
    for one in labels:
        number, made = 1, one
        while made.casefold() in taken:
            number += 1
            made = f"{one}..{number}"
        taken.add(made.casefold())
        out.append(made)
    return tuple(out)
