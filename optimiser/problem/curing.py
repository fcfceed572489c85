"""What a goal on the cure means: a choice of the batch and no row, the usual cure moved just inside what is asked for."""

from __future__ import annotations

from collections.abc import Iterable

from optimiser.measures.cure import cured_water_at
from optimiser.measures.sides import Side
from optimiser.problem.batch import Batch
from optimiser.problem.limits import Limit


def with_cure(batch: Batch, limits: Iterable[Limit]) -> Batch:
    """The batch cured as a goal file asks: the usual cure, or the nearest that will do; what is told from a recipe in hand waits for it."""
    told = tuple(limit for limit in limits if not limit.relative)
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
