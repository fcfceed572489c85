"""How two bars differ in what they do: each measure against its own +/-, on its natural scale, and in a maker's words."""

from __future__ import annotations

import math
from functools import cache
from typing import TYPE_CHECKING, NamedTuple

from optimiser.measures.measures import Measure, measures
from optimiser.reference import rows

if TYPE_CHECKING:
    from collections.abc import Mapping

BLUR = 0.02  # of a small change: what rounding for the balance may do
TELLABLE = 0.5  # of a measure's own +/-: a smaller difference is none that anybody would find


class Change(NamedTuple):
    """One direction in which a measure may go: where it shows ("bench" or "bar"), whether it is for the worse, its words.

    `little` are the words for a change within the measure's own +/-.
    """

    measure: str
    goes: str
    shows: str
    worse: bool
    words: str
    little: str


class Difference(NamedTuple):
    """One measure of two bars: `before`, `after`, and how many of its own +/- lie between them."""

    measure: Measure
    before: float
    after: float
    change: Change

    @property
    def steps(self) -> float:
        """The difference in units of the measure's own +/-."""
        return abs(self.after - self.before) / within(self.measure)

    @property
    def is_told(self) -> bool:
        """Whether anybody would find it."""
        return self.steps >= TELLABLE

    @property
    def is_large(self) -> bool:
        """Whether it is more than the measure's own +/-, beyond what a balance blurs."""
        return abs(self.after - self.before) > within(self.measure) + BLUR * self.measure.scale

    @property
    def words(self) -> str:
        """What a maker would find."""
        return self.change.words if self.is_large else self.change.little


@cache
def changes() -> Mapping[tuple[str, str], Change]:
    """By (measure, "up" or "down")."""
    return {
        (row["measure"], row["change"]): Change(
            *(row["measure"], row["change"], row["shows"], row["worse"] == "yes", row["words"], row["little"])
        )
        for row in rows("difference_words")
    }


@cache
def functions() -> tuple[str, ...]:
    """The measures for which a fat is in a bar, in the order in which they are told."""
    told = {measure for measure, _ in changes()}
    return tuple(name for name in measures() if name in told)


def within(measure: Measure) -> float:
    """The measure's own +/-; a small change of it where nobody can say."""
    return measure.uncertainty or measure.scale


def is_worse(name: str, goes: str) -> bool:
    """Whether a bar is the worse for more ("up") or less ("down") of a measure."""
    return changes()[name, goes].worse


def differences(before: Mapping[str, float], after: Mapping[str, float]) -> tuple[Difference, ...]:
    """Every function of two bars that is known of both, the largest difference first."""
    found = [
        Difference(measures()[name], before[name], after[name], changes()[name, goes])
        for name in functions()
        for goes in ["up" if after[name] >= before[name] else "down"]
        if math.isfinite(before[name]) and math.isfinite(after[name])
    ]
    return tuple(sorted(found, key=lambda item: -item.steps))
