"""The general scales of times, for a bench that has no trials yet: priors, each row of ``reference/times.csv`` one of them.

The table is the only place to change them. `factor` is how far a time may lie from the one reckoned, either way; the
columns of errors say how soon a maker's own trials outweigh the scale (`maths.shrunk_line`).
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from functools import cache
from typing import NamedTuple

from optimiser.maths.prior import Prior
from optimiser.reference import rows

LIGHT = "light"  # the trace that is meant where nobody says which


class General(NamedTuple):
    """One general scale: `reading` in `unit` ("s", "min" or "h") at `at_index`, halved every `halves_every` points.

    `time` is "blend", "workable" or "unmould"; `trace` is "light", "medium" or "thick", "" for the last. A time is told
    from `reading` / `factor` to `reading` x `factor`, and not below `least`. `prior` is what trials of it begin from, in
    logarithms to base 2; None where no trial reads it.
    """

    time: str
    trace: str
    measure: str
    words: str
    unit: str
    at_index: float
    reading: float
    halves_every: float
    factor: float
    least: float
    prior: Prior | None
    about: str
    changed_by: str
    status: str
    source: str

    def expected(self, index: float) -> float:
        """The time at an index."""
        return float(self.reading * 2.0 ** ((self.at_index - index) / self.halves_every))

    def range(self, index: float) -> tuple[float, float]:
        """The shortest and the longest likely time at an index."""
        middle = self.expected(index)
        return max(self.least, middle / self.factor), max(self.least * self.factor, middle * self.factor)

    def index_of(self, reading: float) -> float:
        """The index of a time above 0."""
        return self.at_index - self.halves_every * math.log2(reading / self.reading)


@cache
def general_times() -> Mapping[tuple[str, str], General]:
    """Every general scale by its time and trace."""
    return {(row["time"], row["trace"]): _general(row) for row in rows("times")}


@cache
def general() -> Mapping[str, General]:
    """The scales that trials are read on, by measure: the blender to a light trace, and the hours to unmould."""
    return {item.measure: item for item in general_times().values() if item.trace in ("", LIGHT) and item.prior}


def _general(row: Mapping[str, str]) -> General:
    at_index, reading, halves_every = (float(row[key]) for key in ("at_index", "reading", "halves_every"))
    return General(
        time=row["time"],
        trace=row["trace"],
        measure=row["measure"],
        words=row["words"],
        unit=row["unit"],
        at_index=at_index,
        reading=reading,
        halves_every=halves_every,
        factor=float(row["factor"]),
        least=float(row["least"]),
        prior=_prior(row, math.log2(reading) + at_index / halves_every, -1.0 / halves_every),
        about=row["about"],
        changed_by=row["changed_by"],
        status=row["status"],
        source=row["source"],
    )


def _prior(row: Mapping[str, str], offset: float, slope: float) -> Prior | None:
    if not row["noise"]:
        return None
    level_error, slope_error, noise, worth = (
        float(row[key]) for key in ("level_error", "slope_error", "noise", "worth")
    )
    return Prior(slope, offset, slope_error, level_error, noise, worth)
