"""What every code means to a soap maker and what to do, with an example where one helps: ``catalogue.csv``, read when asked."""

from __future__ import annotations

import csv
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from types import MappingProxyType

from optimiser.text.codes import Code

TABLE = Path(__file__).parent / "catalogue.csv"


@dataclass(frozen=True, slots=True)
class Meaning:
    """One code: `meaning` says what is wrong, `remedy` what to do, wherever the code is told.

    `wrong` and `right` are short files of a kind (`file`: goals, shelf, recipe or csv, a shelf from a spreadsheet), lines
    parted by line breaks; all three are empty where an example would not help.
    """

    code: Code
    group: str
    meaning: str
    remedy: str
    file: str
    wrong: str
    right: str


@cache
def catalogue() -> Mapping[Code, Meaning]:
    """Every code by name, sorted."""
    with_heads = csv.DictReader(TABLE.read_text(encoding="utf-8").splitlines())
    return MappingProxyType({Code(row["code"]): _meaning(row) for row in with_heads})


def _meaning(row: Mapping[str, str]) -> Meaning:
    lines = {name: row[name].replace("\\n", "\n").replace("\\t", "\t") for name in ("wrong", "right")}
    return Meaning(Code(row["code"]), row["group"], row["meaning"], row["remedy"], row["file"], **lines)
