"""How two bars differ in what they do: each measure against its own +/-, and in a maker's words.

One rule for all who hold a bar beside another: a difference is felt where it is more than the measure's own +/-, or a small
change of it where nobody can say how sure it is. That +/- is how far one figure may lie off the bar. Were the errors of two
figures independent, their difference would be sure to sqrt(2) of it only; but both come of one formula from the same acids,
so that most of what is wrong with the one is wrong with the other, and from a correlation of a half on the errors of a
difference are no larger than one figure's own (u sqrt(2 - 2 r), JCGM 100:2008, 5.2.2).
"""

from __future__ import annotations

import math
from functools import cache
from typing import TYPE_CHECKING, NamedTuple

from optimiser.measures.measures import Measure, measures
from optimiser.reference import rows

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

BLUR = 0.02  # of a small change: what rounding for the balance may do
TELLABLE = 0.5  # of a measure's own +/-: a smaller difference is none that anybody would find


LOWEST, HIGHEST = 0.0, 100.0  # of the scale of an index: beyond it no figure means anything, only that it is off
OF_BARS = ("hardness", "wear_life", "set_up", "trace_speed")  # what is said of bars alone, and of no paste


class Change(NamedTuple):
    """One direction in which a measure may go: where it shows ("bench" or "bar"), whether it is for the worse, its words.

    `brief` is for a phrase ("harder, keeps longer"), `words` for a line of its own, `little` for a change within the measure's
    own +/-. `kept` where the measure is one that a fat is in a bar for.
    """

    measure: str
    goes: str
    brief: str
    words: str
    little: str
    shows: str
    worse: bool
    kept: bool


class Difference(NamedTuple):
    """One measure of two bars, `before` and `after`."""

    measure: Measure
    before: float
    after: float

    @property
    def change(self) -> Change:
        """The direction in which it goes."""
        return changes()[self.measure.id, "up" if self.after >= self.before else "down"]

    @property
    def steps(self) -> float:
        """The difference in units of the measure's own +/-; a figure off its scale counts as at the end of it."""
        return abs(on_scale(self.after) - on_scale(self.before)) / within(self.measure.id)

    @property
    def excess(self) -> float:
        """By how many of them it is more than the measure is sure to."""
        return max(0.0, abs(self.after - self.before) / within(self.measure.id) - 1.0)

    @property
    def is_told(self) -> bool:
        """Whether anybody would find it."""
        return self.steps >= TELLABLE

    @property
    def is_felt(self) -> bool:
        """Whether it is more than the measure is sure to."""
        return is_felt(self.measure.id, on_scale(self.after) - on_scale(self.before))

    @property
    def words(self) -> str:
        """What a maker would find."""
        return self.change.words if self.is_felt else self.change.little


def on_scale(value: float) -> float:
    """A figure, or the end of its scale that it lies beyond."""
    return min(max(value, LOWEST), HIGHEST)


def off_scale(value: float) -> str:
    """How a figure is told that is off the scale: "> 100"; "" where it is on it, or not known."""
    if not math.isfinite(value) or LOWEST <= value <= HIGHEST:
        return ""
    return f"< {LOWEST:g}" if value < LOWEST else f"> {HIGHEST:g}"


@cache
def changes() -> Mapping[tuple[str, str], Change]:
    """By (measure, "up" or "down"); of harshness and mildness, which are one figure twice, harshness has the words."""
    return {
        (row["measure"], row["change"]): Change(
            *(row["measure"], row["change"], row["brief"], row["words"], row["little"], row["shows"]),
            *(row["worse"] == "yes", row["kept"] == "yes"),
        )
        for row in rows("difference_words")
    }


@cache
def told() -> tuple[str, ...]:
    """The measures that have words, in the order in which they are told."""
    named = {measure for measure, _ in changes()}
    return tuple(name for name in measures() if name in named)


@cache
def functions() -> tuple[str, ...]:
    """Those of them for which a fat is in a bar."""
    return tuple(name for name in told() if changes()[name, "up"].kept)


def within(name: str) -> float:
    """A measure's own +/-, in points; a small change of it where nobody can say."""
    known = measures()[name]
    return known.uncertainty or known.scale


def is_felt(name: str, by: float) -> bool:
    """Whether so many points of a measure are more than it is sure to, beyond what a balance blurs; unknown ones are not."""
    return abs(by) > within(name) + BLUR * measures()[name].scale


def is_worse(name: str, goes: str) -> bool:
    """Whether a bar is the worse for more ("up") or less ("down") of a measure."""
    return changes()[name, goes].worse


def differences(
    before: Mapping[str, float], after: Mapping[str, float], names: Iterable[str] | None = None
) -> tuple[Difference, ...]:
    """Every measure of two bars that is known of both, the largest difference first.

    Args:
        before: figures by the id of their measure.
        after: the same of the other bar.
        names: the measures that are looked at; all that have words where it is left out.
    """
    found = [
        Difference(measures()[name], before[name], after[name])
        for name in (told() if names is None else names)
        if name in before and name in after and math.isfinite(after[name] - before[name])
    ]
    return tuple(sorted(found, key=lambda item: -item.steps))


def deviations(found: Iterable[Difference]) -> float:
    """The sum of relative deviations of diet modelling: every difference in units of the measure's own +/-, added up.

    Eur. J. Clin. Nutr. 2015, doi:10.1038/ejcn.2015.56.
    """
    return math.fsum(abs(item.after - item.before) / within(item.measure.id) for item in found)


def drift(found: Iterable[Difference]) -> float:
    """How far a bar has drifted in all: by what each difference is more than the measure's own +/-, in units of that, added up."""
    return math.fsum(item.excess for item in found)
