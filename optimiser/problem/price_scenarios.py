"""Price scenarios as values: by how much each price of a shelf is multiplied, scenario by scenario.

Scenarios come from a table (a history, or named shocks) or are drawn: the logarithms of the multipliers are then normal, with
the spreads and correlations that were told, so that half of all prices lie above today's. Draws come in runs of a thousand,
each from a stream of its own (`numpy.random.SeedSequence`), so that a scenario is the same however many there are in all, and
wherever it is drawn.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from optimiser.maths.arrays import Matrix

RUN = 1000  # scenarios drawn from one stream
Places = npt.NDArray[np.intp]


class Scenarios(NamedTuple):
    """`size` scenarios of the prices of f things on the shelves, `names` by name.

    `source` is "history", "shocks" or "spread". Of a table there are `multipliers` (size, f) and a label each. What is drawn
    has `factor` (g, g), whose product with independent normal figures gives the logarithms of g multipliers, and `group` (f),
    which of those each thing has; -1 where its price stays. What moves as one with others and spreads further than they has its
    logarithm multiplied by `scale` (f); empty where nothing has. `rules` say in sentences what was done where the file says nothing.
    `title` is the file's own.
    """

    source: str
    path: str
    names: tuple[str, ...]
    size: int
    labels: tuple[str, ...] = ()
    multipliers: Matrix | None = None
    factor: Matrix | None = None
    group: tuple[int, ...] = ()
    seed: int = 0
    rules: tuple[str, ...] = ()
    title: str = ""
    scale: tuple[float, ...] = ()

    def between(self, first: int, last: int) -> Matrix:
        """The multipliers (last - first, f) of some scenarios, counted from 0."""
        if self.multipliers is not None:
            return np.asarray(self.multipliers[first:last], dtype=np.float64)
        runs = range(first // RUN, -(-last // RUN))
        drawn = np.vstack([self._run(number) for number in runs])
        return np.asarray(drawn[first - runs.start * RUN : last - runs.start * RUN], dtype=np.float64)

    def part(self, first: int, last: int) -> Scenarios:
        """The same with no more of its table than some scenarios, which are still counted from where they stood."""
        if self.multipliers is None:
            return self
        return self._replace(multipliers=self.multipliers[first:last], labels=())

    def _run(self, number: int) -> Matrix:
        assert self.factor is not None
        stream = np.random.Generator(np.random.PCG64(np.random.SeedSequence(self.seed, spawn_key=(number,))))
        logs = stream.standard_normal((RUN, len(self.factor))) @ self.factor.T
        if self.scale:
            every = np.append(logs, np.zeros((RUN, 1)), axis=1)  # the last for what stays: a group of -1
            return np.asarray(np.exp(every[:, list(self.group)] * np.array(self.scale)), dtype=np.float64)
        every = np.append(np.exp(logs), np.ones((RUN, 1)), axis=1)
        return np.asarray(every[:, list(self.group)], dtype=np.float64)

    def mean(self) -> Matrix:
        """The mean multiplier of each thing (f): of a table its own, of what is drawn that of the law, exp(variance / 2)."""
        if self.multipliers is not None:
            return np.asarray(self.multipliers.mean(axis=0), dtype=np.float64)
        assert self.factor is not None
        variance = np.append(np.square(self.factor).sum(axis=1), 0.0)[list(self.group)]
        return np.asarray(np.exp(0.5 * variance * np.square(self.scale or 1.0)), dtype=np.float64)

    def label(self, place: int) -> str:
        """What a scenario is called: its own name, or its number."""
        return self.labels[place] if self.labels else str(place + 1)


def factor_of(spreads: Sequence[float], correlation: Matrix) -> Matrix | None:
    """The lower factor (g, g) of the covariance of g logarithms; None where the correlations cannot hold together.

    Args:
        spreads: standard deviations of the logarithms.
        correlation: symmetric, ones on the diagonal.
    """
    try:
        lower = np.linalg.cholesky(correlation + 1e-12 * np.eye(len(correlation)))
    except np.linalg.LinAlgError:
        return None
    return np.asarray(np.array(spreads)[:, None] * lower, dtype=np.float64)


def log_spread(relative: float) -> float:
    """The standard deviation of the logarithm for a relative spread told in per cent of the price: log(1 + spread)."""
    return float(np.log1p(relative))
