"""The cure: how its weeks harden a bar, and how much water it leaves.

All of it is data: ``reference/measure_cure.csv`` and ``reference/cured_water.csv``.
"""

from __future__ import annotations

import math
from functools import cache
from itertools import pairwise
from typing import NamedTuple

from optimiser.reference import rows

USUAL_CURE = 6.0  # weeks, at which nothing is gained and nothing lost
SHORTEST, LONGEST = 2.0, 104.0  # weeks: what a bar gains before and after is not told


class CureLaw(NamedTuple):
    """Points of a measure for each doubling of the cure: `flat` for any soap, `of_oleic` more for soap of oleic acid alone."""

    flat: float
    of_oleic: float


@cache
def cure_law(id: str) -> CureLaw:  # noqa: A002  # the id is what the tables call it
    """What the cure does to a measure; nothing to one that the table does not name."""
    found = next((row for row in rows("measure_cure") if row["measure"] == id), None)
    return CureLaw(0.0, 0.0) if found is None else CureLaw(float(found["flat"]), float(found["of_oleic"]))


def cure_words(weeks: float) -> str:
    """A cure as a file has it: in weeks where they are whole, else in days."""
    days = round(7.0 * weeks, 6)
    return f"{weeks:g} weeks" if days % 7 == 0 else f"{days:.12g} days"


def cured_water_at(weeks: float) -> float:
    """The share of water in a bar after so many weeks, as a fraction.

    Straight over the logarithm of the weeks between the rows of ``cured_water.csv``, level before and after them, to a tenth
    of a per cent.

    >>> cured_water_at(6.0)
    0.1
    """
    table = [(float(row["weeks"]), float(row["water"])) for row in rows("cured_water")]
    for (begun, wet), (ended, dry) in pairwise([(0.0, table[0][1]), *table, (math.inf, table[-1][1])]):
        if begun <= weeks < ended:
            if begun == 0.0 or math.isinf(ended):
                return wet
            return round(wet + (dry - wet) * math.log(weeks / begun) / math.log(ended / begun), 3)
    raise ValueError(f"{weeks} weeks are no cure")
