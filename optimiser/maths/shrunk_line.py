"""A straight line through few points, shrunk towards the line that was expected: the conjugate normal prior.

With c the mean index of the trials the model is ``y = level + slope (m - c) + error``. Before any trial, level and slope
lie about those of the expected line with the standard errors that are told, on their own, and the error's variance is
as if ``worth`` earlier trials had shown ``noise``. Since the level is taken where the trials lie, their common height
moves the level alone; only trials that lie apart move the slope. Posterior and predictions are of Student's t
(Gelman et al., Bayesian Data Analysis, ch. 14, from memory).
"""

from __future__ import annotations

import math

import numpy as np

from optimiser.maths.arrays import Vector
from optimiser.maths.prior import Prior
from optimiser.maths.regression import Fit


def shrunk(index: Vector, reading: Vector, prior: Prior) -> Fit:
    """The line that prior and trials come to together; `unseen` is foretold by prior and the other trials.

    Args:
        index: n indices by the book, one at least.
        reading: n readings on their straight side.
        prior: the line expected before.

    Raises:
        ValueError: no trial at all.
    """
    if not len(index):
        raise ValueError("without a trial the line expected is all there is")
    made = _posterior(index, reading, prior)
    unseen = np.array([_without(place, index, reading, prior) for place in range(len(index))])
    left_out = math.sqrt(float(np.mean((reading - unseen) ** 2)))
    return made._replace(unseen=unseen, left_out=left_out)


def _without(place: int, index: Vector, reading: Vector, prior: Prior) -> float:
    rest = np.arange(len(index)) != place
    if not rest.any():
        return prior.offset + prior.slope * float(index[place])
    other = _posterior(index[rest], reading[rest], prior)
    return other.offset + other.slope * float(index[place])


def _posterior(index: Vector, reading: Vector, prior: Prior) -> Fit:
    order = np.lexsort(
        (reading, index)
    )  # sums in one order, so that the order of trials does not matter to the last bit
    index, reading, back = index[order], reading[order], np.argsort(order)
    n, centre = len(index), float(index.mean())
    apart, expected = index - centre, prior.offset + prior.slope * centre
    level_worth, slope_worth = (prior.noise / prior.level_error) ** 2, (prior.noise / prior.slope_error) ** 2
    behind = n + level_worth
    weight = float(apart @ apart) + slope_worth
    level = (float(reading.sum()) + level_worth * expected) / behind
    slope = (float(apart @ reading) + slope_worth * prior.slope) / weight
    fitted = level + slope * apart
    strays = float((reading - fitted) @ (reading - fitted))
    strays += level_worth * (level - expected) ** 2 + slope_worth * (slope - prior.slope) ** 2
    freedom = prior.worth + n
    error = math.sqrt((prior.worth * prior.noise**2 + strays) / freedom)
    slope_error = error / math.sqrt(weight)
    return Fit(
        slope=slope,
        offset=level - slope * centre,
        slope_error=slope_error,
        offset_error=math.hypot(error / math.sqrt(behind), centre * slope_error),
        residual=error,
        freedom=freedom,
        centre=centre,
        spread=math.sqrt(weight),
        left_out=math.nan,
        fitted=fitted[back],
        unseen=fitted[back],
        behind=behind,
        own_slope=1.0 - slope_worth / weight,
    )
