"""How long a bar is best cured: weeks by the share of its fats' monounsaturated acids, more for much free oil or water.

The weeks stand in ``reference/cure_weeks.csv``: knots between which they run straight, and what each point of another
figure adds. Kinds of soap with times of their own are in ``reference/kind_times.csv``.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from functools import cache
from typing import NamedTuple

import numpy as np

from optimiser.reference import rows

WEEKS = "weeks"


class Cure(NamedTuple):
    """Weeks a bar is cured at the least, from `low` to `high`; `best` is when it is at its best, where that is later."""

    low: float
    high: float
    best: tuple[float, float] | None = None


def cure_of(figures: Mapping[str, float]) -> Cure | None:
    """The weeks that a bar's figures call for; None where its acids are not known.

    Args:
        figures: in per cent, by quantity; "monounsaturated" among them.
    """
    if any(math.isnan(figures[name]) for name in _figures()):
        return None
    knots = _knots()
    at = figures[knots[0].figure]
    low, high = _between(knots, at)
    for more in _more():
        beyond = max(0.0, figures[more.figure] - more.at)
        low, high = low + more.low * beyond, high + more.high * beyond
    best = next((knot.best for knot in reversed(knots) if knot.best is not None and at >= knot.at), None)
    return Cure(low, high, best)


class _Row(NamedTuple):
    figure: str
    at: float
    low: float
    high: float
    best: tuple[float, float] | None


@cache
def _rows(what: str) -> tuple[_Row, ...]:
    return tuple(
        _Row(
            *(row["figure"], float(row["at"]), float(row["low"]), float(row["high"])),
            best=(float(row["best_low"]), float(row["best_high"])) if row["best_low"] else None,
        )
        for row in rows("cure_weeks")
        if row["what"] == what
    )


def _knots() -> tuple[_Row, ...]:
    return _rows(WEEKS)


def _more() -> tuple[_Row, ...]:
    return _rows("more a point")


def _figures() -> set[str]:
    return {row.figure for row in (*_knots(), *_more())}


def _between(knots: Sequence[_Row], at: float) -> tuple[float, float]:
    """The weeks at a share, straight between two knots and level beyond the last."""
    places = [knot.at for knot in knots]
    low, high = (float(np.interp(at, places, ends)) for ends in ([k.low for k in knots], [k.high for k in knots]))
    return low, high
