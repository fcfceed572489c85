"""The rules of the house as they are read from their table."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from outside.independent import tables


@dataclass(frozen=True)
class Rule:
    """One rule on one side of a figure or a share; `scale` is a small change of it."""

    name: str
    subject: str
    key: str
    side: str
    value: float
    scale: float = 1.0
    gives_way: tuple[str, ...] = ()
    yields: bool = False
    moved_by: tuple[str, ...] = ()
    within: tuple[float, ...] = ()
    at_last: tuple[float, ...] = ()
    only_with: str = ""
    only_from: float = 0.0


def ends(told: str) -> tuple[float, ...]:
    """Between which figures a rule moves; one that has no lower end moves upwards from its own figure."""
    return tuple(float(end or np.inf) for end in told.split(";")) if told else ()


def house_rules(levers: set[str]) -> Iterator[Rule]:
    """The rules of the table, and the usual most of what may be used and has no rule or end of its own."""
    ruled = set()
    for row in tables.table("practice"):
        if row["subject"] == "additive":
            ruled.add(row["key"])
        yield Rule(
            row["rule"],
            "kind" if row["subject"] == "group" else row["subject"],
            row["key"],
            row["side"],
            float(row["value"]),
            float(row["scale"]),
            tuple(name for name in row["gives_way"].split(";") if name),
            row["yields"] == "yes",
            tuple(name for name in row["moved_by"].split(";") if name),
            ends(row["moves_within"]),
            ends(row["moves_at_last"] or row["moves_within"]),
            row["only_with"],
            float(row["only_from"] or 0.0),
        )
    for name in sorted(levers - ruled):
        yield Rule(name, "additive", name, "at_most", tables.additives()[name].usual)
