"""How a sweep is laid out in parts: by the number of its scenarios and what each bar is, never by who does the work."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from optimiser.analysis.swept import Swept
from optimiser.answers.sweep_cases import Bar
from optimiser.problem.price_scenarios import RUN, Scenarios
from optimiser.text.codes import Code
from optimiser.text.diagnostics import BadInput, Diagnostic

PART, LARGEST_PART, PARTS = (
    10_000,
    100_000,
    200,
)  # scenarios of a part, and how many parts a bar has as long as that does
COUNTED_PART, ALONE_PART = 1_000, 50  # where fats are counted, and where each scenario is solved by itself
EACH, EACH_COUNTED, EACH_ALONE, EACH_BAR = 2e-5, 2e-3, 0.02, 0.1
"""Seconds of a machine of 2025: a scenario, one whose fats are counted, one that is solved by itself, a bar."""
MOST = 25_000_000  # scenarios of all bars together, which take about 140 bytes each: 3.5 GB


def seconds_of(bars: Sequence[Bar], count: int) -> float:
    """About how long the work takes one worker."""
    return EACH_BAR * len(bars) + count * sum(each_of(bar.case.start.swept) for bar in bars)


def each_of(swept: Swept) -> float:
    """About how many seconds a scenario takes."""
    if swept.cost_rows:
        return EACH_ALONE
    return EACH if swept.has_few_choices else EACH_COUNTED


def refuse_too_many(bars: int, count: int) -> None:
    """Refuses more than can well be held at a time.

    Raises:
        BadInput: so many scenarios of so many bars.
    """
    if bars * count > MOST:
        message = (
            f"{count} scenarios of {bars} bars are {bars * count} in all, and {MOST} are the most that are held at once"
        )
        raise BadInput([Diagnostic(Code.USAGE, message, f"take {MOST // bars} scenarios, or fewer bars at a time")])


class Laid(NamedTuple):
    """A part: of which bar, and its scenarios from one number to another."""

    bar: int
    first: int
    last: int


def laid(bars: Sequence[Bar], scenarios: Scenarios) -> list[Laid]:
    """The parts of all bars, in order."""
    out = []
    for number, bar in enumerate(bars):
        size = part_size(scenarios.size, bar.case.start.swept)
        out += [Laid(number, first, min(first + size, scenarios.size)) for first in range(0, scenarios.size, size)]
    return out


def part_size(count: int, swept: Swept | None = None) -> int:
    """How many scenarios a part has: never by how many workers there are."""
    if swept is not None and swept.cost_rows:
        return ALONE_PART
    if swept is not None and not swept.has_few_choices:
        return COUNTED_PART
    each = -(-count // PARTS)
    return min(LARGEST_PART, max(PART, -(-each // RUN) * RUN))
