"""What there is room for, as plain values; the reports only read it."""

from __future__ import annotations

from typing import NamedTuple

from optimiser.text.diagnostics import Diagnostic


class ReachLine(NamedTuple):
    """The room one figure has while all other goals hold; `now` in the cheapest blend; own limits beside it.

    An end is None where there is none (a share of nothing) or, in a reach that is not complete, where it is not known.
    """

    id: str
    words: str
    unit: str
    low: float | None
    high: float | None
    now: float
    low_limit: float | None
    high_limit: float | None
    is_share: bool


class Reach(NamedTuple):
    """The room that the goals leave, figure by figure; not complete where the work allowed ended before all were known."""

    title: str
    currency: str
    goal_file: str
    shelf_title: str
    lines: tuple[ReachLine, ...]
    complete: bool = True
    warnings: tuple[Diagnostic, ...] = ()
    is_near: bool = False  # `now` is in the nearest blend to a recipe in hand, not in the cheapest
