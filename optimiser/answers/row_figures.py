"""What a row comes to at a blend, and the limit beside it, in the figures that a maker reads."""

from __future__ import annotations

import math

import numpy as np

from optimiser.maths.arrays import Vector
from optimiser.measures.measures import measures
from optimiser.measures.profiles import floored
from optimiser.model.counted_fats import by_fat
from optimiser.model.programme import Programme
from optimiser.model.rows import Row, end_near, is_between
from optimiser.problem.wishes import Whose
from optimiser.recipe.rounding import DUST
from optimiser.solve.optimum import Cheapest

TOLD_DIGITS = 2  # of a figure that a recipe in hand has


def told_value(row: Row, found: Cheapest) -> float:
    """A row's figure at the blend, no lower than it is ever told."""
    value, known = row.value(found.point), measures().get(row.figure)
    return value if known is None or row.unit != known.unit else floored(known, value)


def nearest(rows: list[Row], found: Cheapest) -> Row:
    """Of the rows of one wish the one nearest to its limit."""
    return min(rows, key=lambda row: abs(row.value(found.point) - row.limit) / row.scale)


def shown_limit(rows: list[Row], value: float) -> float:
    """The figure that the maker wrote: the middle of a bare figure's two sides; of a rule between two ends the nearer one."""
    if is_between(rows):
        return end_near(rows, value)
    sides = {one.limit for one in rows}
    return math.fsum(sides) / len(sides)


def counted(row: Row, found: Cheapest, programme: Programme) -> float:
    """The number of fats in the blend, or the least share of any; a switch of the model may stand on for a fat unused."""
    if row.figure != "fats":
        return smallest_share(found, programme)
    return float(np.count_nonzero(by_fat_shares(found, programme) > DUST))


def smallest_share(found: Cheapest, programme: Programme) -> float:
    """The least share of any fat in use, per cent."""
    shares = 100.0 * by_fat_shares(found, programme)
    return float(shares[shares > 100.0 * DUST].min(initial=100.0))


def by_fat_shares(found: Cheapest, programme: Programme) -> Vector:
    """How much there is of each fat, lots of one fat together, as fractions."""
    return np.array([found.point[list(lots)].sum() for lots in by_fat(programme.columns).values()])


def as_shown(row: Row, figure: float) -> float:
    """A figure beside a limit that was told from a recipe in hand, and has more digits than anybody would write."""
    told = row.said.whose == Whose.RECIPE or "in the recipe" in row.said.remark
    return round(figure, TOLD_DIGITS) if told else figure
