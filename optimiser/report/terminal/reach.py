"""The room that the goals leave, each figure a band on its scale."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from optimiser.measures.sides import Side
from optimiser.measures.telling import keeps
from optimiser.report import words
from optimiser.report.terminal.gauges import Marks, cells
from optimiser.report.terminal.measures import hidden
from optimiser.report.terminal.page import Column, Gap, Heading, Line, Paper, Part, Table

if TYPE_CHECKING:
    from collections.abc import Iterator

    from optimiser.answers.reach_results import Reach, ReachLine

NARROW, WIDE = 23, 55
INDEX_TOP = 100.0
TOLERANCE = 1e-6  # relative: what a solver takes for met
LEAST_TOP = 1.0


def parts(story: Reach, paper: Paper, *, full: bool = False) -> Iterator[Part]:
    """Measures, then cost and batch figures, then shares: least, band, greatest; harshness and mildness both if in full."""
    limited = [line.id for line in story.lines if line.low_limit is not None or line.high_limit is not None]
    left_out = () if full else hidden(limited)
    yield Heading(story.title or "Untitled bar", "the room that the other goals leave")
    yield Line(f"{words.path(story.goal_file)}, over {story.shelf_title}")
    yield Gap()
    groups = (
        ("The bar", [line for line in story.lines if line.unit == "index" and line.id not in left_out]),
        ("The batch", [line for line in story.lines if line.unit != "index" and not line.is_share]),
        ("Shares", [line for line in story.lines if line.is_share]),
    )
    for title, lines in groups:
        if lines:
            yield Heading(title)
            yield Table(columns(), [row(line, paper) for line in lines])
            yield Gap()
    if any(line.id == words.HARD_OILS for line in story.lines):
        yield Line(words.ON_HARD_OILS)
    marks = paper.marks
    yield Line(
        f"{marks.allowed * 3} what the other goals leave room for, {marks.here} the {'nearest' if story.is_near else 'cheapest'} blend, "
        f"{marks.low} {marks.high} the limit set on the figure itself. Index scales run from 0 to 100, the others from 0 "
        "to a little above the greatest figure shown."
    )
    if not story.complete:
        yield Gap()
        yield Line(
            "Ends without a figure were not worked out: fats are counted here, and the search stopped.", indent=0
        )
    yield Gap()
    yield Line("Next:", indent=0)
    yield Line(f"barwright blend {words.quoted(story.goal_file)}", style="bold", whole=True)


def columns() -> tuple[Column, ...]:
    """Heads of the tables."""
    return (
        Column("", wraps=True),
        Column("least", "right"),
        Column(""),
        Column("greatest", "right"),
        Column("now", "right"),
    )


def row(line: ReachLine, paper: Paper) -> tuple[str, ...]:
    """One figure."""
    width = WIDE if paper.is_wide else NARROW
    unit = f"{words.MONEY}{line.unit}" if line.unit.startswith(" /") else line.unit
    name = f"{line.words}, {unit}" if words.is_long(unit) else line.words
    return (
        name,
        told(line.low, line, Side.AT_MOST),
        band(line, width, paper.marks),
        told(line.high, line, Side.AT_LEAST),
        told(line.now, line),
    )


def told(value: float | None, line: ReachLine, side: Side | None = None) -> str:
    """A figure with its unit, in digits that differ from a limit set on it where it does not meet that.

    Args:
        value: the figure; None where it is not known.
        line: whose it is.
        side: the limit that it must come to, at least the lower or at most the upper; the one that is nearer without it.
    """
    if value is None:
        return words.NOTHING
    limits = {Side.AT_LEAST: line.low_limit, Side.AT_MOST: line.high_limit}
    known = {one: limit for one, limit in limits.items() if limit is not None and side in (None, one)}
    if not known or not math.isfinite(value):
        return words.in_column(value, line.unit)
    near = min(known, key=lambda one: abs(value - known[one]))
    return words.column_against(value, known[near], near, line.unit, met=is_kept(value, known[near], near))


def is_kept(value: float, limit: float, side: Side) -> bool:
    """Whether a limit is met to within the solver's tolerance."""
    return keeps(value, limit, side) or abs(value - limit) <= TOLERANCE * max(1.0, abs(limit))


def top_of(line: ReachLine) -> float:
    """Where a scale ends."""
    known = [value for value in (line.high, line.low_limit, line.high_limit, line.now) if value is not None]
    greatest = max((value for value in known if math.isfinite(value)), default=INDEX_TOP)
    if line.unit == "index" and greatest > 10.0:
        return INDEX_TOP
    return max(1.1 * greatest, LEAST_TOP)


def band(line: ReachLine, width: int, marks: Marks) -> str:
    """The scale with the band that is left, the limit set on the figure, and where the cheapest blend stands."""
    last = width - 1
    cell = cells(top_of(line), width)
    drawn = [marks.line] * width
    drawn[0], drawn[last] = marks.left, marks.right
    if line.low is not None and line.high is not None:
        for place in range(cell(line.low), cell(line.high) + 1):
            drawn[place] = marks.allowed
    for limit, mark in ((line.low_limit, marks.low), (line.high_limit, marks.high)):
        if limit is not None:
            drawn[cell(limit)] = mark
    here = cell(line.now)
    taken = {cell(limit) for limit in (line.low_limit, line.high_limit) if limit is not None}
    drawn[beside(here, taken, line, last)] = marks.here
    return "".join(drawn)


def beside(here: int, taken: set[int], line: ReachLine, last: int) -> int:
    """The pointer's cell, moved off a bracket to the side that holds."""
    if here not in taken:
        return here
    inward = 1 if line.low_limit is not None and abs(line.now - line.low_limit) < abs(line.now) + 1 else -1
    if line.high_limit is not None and (line.low_limit is None or abs(line.now - line.high_limit) < 1e-6):
        inward = -1
    return max(0, min(last, here + inward))
