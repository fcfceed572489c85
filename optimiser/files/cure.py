"""How long a bar is cured, as people write it: "6 weeks", "40 days", "3 months"; and what a goal on it means.

The cure is a choice of the batch and no row: the usual one, moved just inside what a goal file asks for.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from optimiser.files.fields import TEXT
from optimiser.measures.cure import cured_water_at
from optimiser.measures.sides import Side
from optimiser.problem.batch import Batch
from optimiser.problem.limits import Limit
from optimiser.text.durations import read_weeks
from optimiser.text.forms import Read, scalar
from optimiser.text.names import fold
from optimiser.text.nodes import Node

KEY = "cure"
UNIT = "weeks"


def is_cure(key: str) -> bool:
    """Whether a key under `goals` speaks of the cure."""
    return fold(key) in {"cure", "cured for", "curing", "curing time", "cure time"}


def _weeks(node: Node, what: str, _: Any) -> float:
    return read_weeks(scalar(node, what), what)


CURE: Read[float | None] = Read(KEY, _weeks, TEXT)


def with_cure(batch: Batch, limits: Iterable[Limit]) -> Batch:
    """The batch cured as a goal file asks: the usual cure, or the nearest that will do."""
    told = tuple(limits)
    if not told:
        return batch
    weeks = batch.cure_weeks
    for limit in told:
        if limit.side != Side.AT_MOST:
            weeks = max(weeks, limit.value)
        if limit.side != Side.AT_LEAST:
            weeks = min(weeks, limit.value)
    return batch._replace(cure_weeks=weeks, given=batch.given | {"cure_weeks"})


def with_cured_water(batch: Batch) -> Batch:
    """The batch with the water that its cure leaves in a bar, where nobody told it."""
    return batch if "cured_water" in batch.given else batch._replace(cured_water=cured_water_at(batch.cure_weeks))
