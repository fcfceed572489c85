"""What is said of one bar beside another: which measures differ by more than either is sure, and the words for it."""

from __future__ import annotations

import math
from functools import cache
from typing import TYPE_CHECKING, NamedTuple

from optimiser.measures.measures import measures
from optimiser.reference import rows

if TYPE_CHECKING:
    from collections.abc import Mapping


LOWEST, HIGHEST = 0.0, 100.0  # of the scale of an index: beyond it no figure means anything, only that it is off
OF_BARS = ("hardness", "wear_life", "set_up", "trace_speed")  # what is said of bars alone, and of no paste


def on_scale(value: float) -> float:
    """A figure, or the end of its scale that it lies beyond."""
    return min(max(value, LOWEST), HIGHEST)


def off_scale(value: float) -> str:
    """How a figure is told that is off the scale: "> 100"; "" where it is on it, or not known."""
    if not math.isfinite(value) or LOWEST <= value <= HIGHEST:
        return ""
    return f"< {LOWEST:g}" if value < LOWEST else f"> {HIGHEST:g}"


class Difference(NamedTuple):
    """One measure of two bars: the second less the first, in points, and how far both figures may lie off together.

    `allowed` is None where nobody can say how sure the measure is: then no difference of it is felt.
    """

    measure: str
    by: float
    allowed: float | None

    @property
    def is_felt(self) -> bool:
        """Whether it is more than both figures may lie off together."""
        return self.allowed is not None and abs(self.by) > self.allowed

    @property
    def weight(self) -> float:
        """How many times what both may lie off."""
        return abs(self.by) / self.allowed if self.allowed else 0.0

    @property
    def words(self) -> str:
        """What a maker says of it; nothing where there are no words for it."""
        more, less = comparatives().get(self.measure, ("", ""))
        return more if self.by > 0 else less


def differences(first: Mapping[str, float], second: Mapping[str, float]) -> dict[str, Difference]:
    """Every measure of two bars that is known of both; one off its scale counts as at the end of it.

    Two figures that may each lie off by u, independently, differ by sqrt(2) u at most: the errors of measurement add as the
    root of the sum of squares.
    """
    found = {}
    for name, measure in measures().items():
        by = on_scale(second[name]) - on_scale(first[name])
        if math.isfinite(second[name] - first[name]):
            each = measure.uncertainty
            found[name] = Difference(name, by, math.hypot(each, each) if each else None)
    return found


@cache
def comparatives() -> Mapping[str, tuple[str, str]]:
    """The words for more and for less of each measure."""
    return {row["measure"]: (row["more"], row["less"]) for row in rows("measure_comparatives")}
