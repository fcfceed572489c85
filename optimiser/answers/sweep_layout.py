"""How a sweep is laid out in parts: by the number of its scenarios and what each bar is, never by who does the work."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from optimiser.analysis.swept import Swept
from optimiser.answers.sweep_cases import Bar
from optimiser.problem.price_scenarios import RUN, Scenarios

PART, LARGEST_PART, PARTS = (
    10_000,
    100_000,
    200,
)  # scenarios of a part, and how many parts a bar has as long as that does
COUNTED_PART, ALONE_PART = 1_000, 50  # where fats are counted, and where each scenario is solved by itself
EACH, EACH_ALONE, EACH_BAR = 2e-5, 0.02, 0.1  # seconds of a machine of 2025: a scenario, one that is searched, a bar


def seconds_of(bars: Sequence[Bar], count: int) -> float:
    """About how long the work takes one worker."""
    alone = sum(is_slow(bar.case.start.swept) for bar in bars)
    return EACH_BAR * len(bars) + count * (EACH_ALONE * alone + EACH * (len(bars) - alone))


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


def is_slow(swept: Swept) -> bool:
    """Whether a scenario needs a search of its own, or one of a large tree."""
    return bool(swept.cost_rows) or not swept.has_few_choices


def part_size(count: int, swept: Swept | None = None) -> int:
    """How many scenarios a part has: never by how many workers there are."""
    if swept is not None and swept.cost_rows:
        return ALONE_PART
    if swept is not None and not swept.has_few_choices:
        return COUNTED_PART
    each = -(-count // PARTS)
    return min(LARGEST_PART, max(PART, -(-each // RUN) * RUN))
