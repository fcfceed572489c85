"""How long a batch is likely to take: to trace, and to a clean cut; by the general scales or by the maker's own.

The general scales are priors (``reference/times.csv``): the time halves every so many points of the index, and one point
of it is reckoned at a time that makers speak of. Their ranges come from how far the index itself is to be trusted, not
from how far one bench differs from another, which a few trials of the maker's own tell better.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from optimiser.maths.units import FROM_DAYS
from optimiser.measures.measures import measures
from optimiser.measures.scales import General, Scale, general

PRIOR = "a rule of thumb, not of your bench: five trials make it yours"
STRETCHED = "beyond the trials"
LOWEST, HIGHEST = 0.0, 90.0  # indices outside are of batches that the scale was not made for


@dataclass(frozen=True, slots=True)
class ExpectedTime:
    """A time as a range, in `unit` ("s" or "h"); `own` says that the maker's scale gave it.

    `basis` says what the range rests on, `about` from when to when it runs, `changed_by` what changes it at the bench.
    """

    measure: str
    words: str
    unit: str
    index: float
    low: float
    high: float
    own: bool
    about: str
    basis: str
    changed_by: str

    def said(self) -> str:
        """The range in words: "7.9 to 13 min"."""
        seconds = 3600.0 if self.unit == "h" else 1.0
        return rough_range(self.low * seconds, self.high * seconds)


def expected_times(
    values: Mapping[str, float], scales: Mapping[str, Scale], units: Mapping[str, float] | None = None
) -> tuple[ExpectedTime, ...]:
    """Both times for a batch; none where its index lies off the scale, and nobody knows.

    Args:
        values: its measures by the book; must hold `trace` and `set_up`.
        scales: the maker's own scales by measure; may be empty.
        units: how far each lever is pulled in it, so that the maker's own levers count where a scale has any.
    """
    known = [item for name, item in general().items() if LOWEST <= values[name] <= HIGHEST]
    return tuple(_expected(item, values[item.measure], scales.get(item.measure), units) for item in known)


def likely(measure: str, index: float, scale: Scale | None = None) -> tuple[float, float]:
    """The shortest and longest likely reading of a measure at an index, in the unit of its times.

    Args:
        measure: "trace_speed" (seconds) or "set_up" (hours).
        index: points.
        scale: the maker's own; without it the general one, a prior.
    """
    if scale is not None:
        return scale.range(index)
    unsure = measures()[measure].uncertainty or 0.0
    known = general()[measure]
    return known.expected(index + unsure), known.expected(index - unsure)


def _expected(known: General, index: float, scale: Scale | None, units: Mapping[str, float] | None) -> ExpectedTime:
    if scale is not None and units is not None:
        index = scale.corrected(index, units)
    low, high = likely(known.measure, index, scale)
    return ExpectedTime(
        *(known.measure, known.words, known.unit, index, low, high),
        own=scale is not None,
        about="as you time it" if scale is not None else known.about,
        basis=PRIOR if scale is None else _own_basis(scale, index),
        changed_by=known.changed_by,
    )


def _own_basis(scale: Scale, index: float) -> str:
    text = f"four batches in five by {scale.trials} trials of yours"
    return text if scale.lowest <= index <= scale.highest else f"{text}, {STRETCHED}"


def rough_range(low: float, high: float) -> str:
    """Two lengths of time in seconds as a range, the unit said once where it is the same: "7.9 to 13 min"."""
    first, last = rough_duration(low), rough_duration(high)
    if first == last:
        return f"about {first}"
    number, _, unit = first.partition(" ")
    return f"{number} to {last}" if last.endswith(f" {unit}") else f"{first} to {last}"


def rough_duration(seconds: float) -> str:
    """A length of time that is only expected, to two figures of one unit: "50 s", "8.2 min", "27 h", "4.5 days"."""
    for size, unit, least in ((86400.0, "days", FROM_DAYS), (3600.0, "h", 7200.0), (60.0, "min", 90.0)):
        if seconds >= least:
            return f"{_two_figures(seconds / size)} {unit}"
    return f"{_two_figures(seconds)} s"


def _two_figures(value: float) -> str:
    if not math.isfinite(value):
        return "very many"
    rounded = float(f"{value:.2g}")
    return f"{rounded:.0f}" if rounded >= 10.0 else f"{rounded:g}"
