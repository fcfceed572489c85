"""A maker's own scales: what an index means in minutes, hours or the readings of their own instrument.

A scale is a straight line: offset + slope x index is the logarithm to base 2 of a time, or the reading itself.
`trial fit --save` writes ``trials/scales.yaml``, and goal files written in the maker's units are read by it.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from types import MappingProxyType
from typing import NamedTuple

from optimiser.maths.student_t import t_quantile
from optimiser.measures.measures import measures
from optimiser.text.names import fold

MEASURES = ("trace_speed", "set_up", "hardness")  # what a trial has a reading for
TIME_UNITS: Mapping[str, str] = {"trace_speed": "s", "set_up": "h"}
LEAST_TRIALS = 5  # for a scale of readings of which nothing is known before
FEW = 5  # trials below which a limit in own units says how wide the scale is
HALF = 0.5  # of a slope: below it the general rule has more of it than the trials
LIKELY = 0.8  # four batches in five: what a range of expected readings covers
_DEPTHS = frozenset({"mm", "cm", "um", "in", "dmm"})


def least_trials(measure: str) -> int:
    """How many trials a scale takes: one shifts the general scale of a time, readings of an instrument have none to shift."""
    return 1 if measure in TIME_UNITS else LEAST_TRIALS


class OwnLever(NamedTuple):
    """Points per unit of a lever by the maker's trials and by the book, and where the lever stood in them on average."""

    points: float
    book: float
    at: float


class Scale(NamedTuple):
    """One measure in the maker's unit, fitted to `trials` trials between the indices `lowest` and `highest`.

    `slope`, `offset`, `error` (how far one batch strays from the line) and `left_out` (how far off a trial is that the
    fit has not seen) are in the reading's unit, or in its logarithm to base 2 for a time. `centre` and `spread` (root of
    the sum of squares about the centre) are of the trials' indices; `freedom` are degrees of freedom of `error`.
    Where the scale is held to a general one, `spread` counts what that adds, `behind` is how many trials the height of
    the line rests on (0: `trials`), and `own_slope` how much of the slope is the trials' own, from 0 to 1.
    """

    measure: str
    unit: str
    slope: float
    offset: float
    trials: int
    error: float
    freedom: float
    centre: float
    spread: float
    lowest: float
    highest: float
    left_out: float
    levers: Mapping[str, OwnLever] = MappingProxyType({})
    behind: float = 0.0
    own_slope: float = 1.0

    def reading(self, index: float) -> float:
        """What the maker is likeliest to read at this index."""
        return unlined(self.measure, self.offset + self.slope * index)

    def index_of(self, reading: float) -> float:
        """The index at which this reading is the likeliest.

        Raises:
            ValueError: a time that is not above 0.
        """
        return (lined(self.measure, reading) - self.offset) / self.slope

    def range(self, index: float, chance: float = LIKELY) -> tuple[float, float]:
        """Between which readings a new batch of this index falls with this chance, the lower first.

        The prediction interval of a straight line (Draper & Smith, Applied Regression Analysis, ch. 1, from memory).
        """
        height = 1.0 / math.sqrt(self.behind or self.trials)
        away = math.hypot(1.0, height, (index - self.centre) / self.spread)
        half = t_quantile((1.0 + chance) / 2.0, self.freedom) * self.error * away
        middle = self.offset + self.slope * index
        return unlined(self.measure, middle - half), unlined(self.measure, middle + half)

    def reaches(self, index: float) -> bool:
        """Whether an index lies among the trials, or no further off than the index itself is to be trusted."""
        slack = measures()[self.measure].uncertainty or 0.0
        return self.lowest - slack <= index <= self.highest + slack

    def rests_on(self) -> str:
        """How many trials are behind the scale, and what of it is still the general rule."""
        trials = "1 trial of yours" if self.trials == 1 else f"{self.trials} trials of yours"
        return f"{trials}, from blend to blend by the general rule" if self.own_slope < HALF else trials

    def corrected(self, index: float, units: Mapping[str, float]) -> float:
        """The index with the maker's own levers in place of the book's.

        Args:
            index: by the book.
            units: how far each lever is pulled in this batch, in its units.
        """
        own = ((lever.points - lever.book) * (units.get(name, 0.0) - lever.at) for name, lever in self.levers.items())
        return index + math.fsum(own)


def lined(measure: str, reading: float) -> float:
    """A reading on the straight side of the scale: the logarithm to base 2 of a time, a hardness as it is.

    Raises:
        ValueError: a time that is not above 0.
    """
    return math.log2(reading) if measure in TIME_UNITS else reading


def unlined(measure: str, value: float) -> float:
    """The reading that stands at this height of the straight side; a time too long to count is infinite."""
    if measure not in TIME_UNITS:
        return value
    return 2.0**value if value < 1000.0 else math.inf


def direction(measure: str, unit: str) -> int:
    """Which way the readings go as the index rises: 1 up, -1 down.

    Times fall. Hardness readings rise, but where the unit is a depth (a cone's penetration in mm) a harder bar reads less.
    """
    if measure in TIME_UNITS:
        return -1
    words = set(fold(unit).replace("\u00b5m", "um").replace("\u03bcm", "um").split())
    return -1 if words & _DEPTHS or any(word.startswith(("penetration", "depth", "dent")) for word in words) else 1
