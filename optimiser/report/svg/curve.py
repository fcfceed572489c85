"""A cost curve, or a grid of two limits, as one SVG file: read in grey, printed, or aloud by its title and description."""

from __future__ import annotations

from itertools import groupby, pairwise
from typing import TYPE_CHECKING, NamedTuple

from optimiser.measures.sides import Side
from optimiser.report import curve_words as said
from optimiser.report import words
from optimiser.report.svg.drawing import (
    INK,
    PALE,
    PAPER,
    SOFT,
    box,
    dot,
    line,
    page,
    path,
    text,
    wrapped,
)
from optimiser.report.terminal.chart import ticks

if TYPE_CHECKING:
    from collections.abc import Iterator

    from optimiser.answers.curve_values import Curve, CurveGrid, CurvePoint, Drawn

WIDTH = 760
LEFT, RIGHT, TOP, HIGH = 78, 40, 92, 300
WALL = 16  # how much of "no blend" is drawn past an end
CROWDED = 16  # between rings
LEAD = 18  # between lines of text
SMALL = 12
MOST_LISTED = 16  # breakpoints under the chart
MOST_NUMBERED = 60  # and numbers in it
LIGHT, DARK = 245, 110  # greys of the cheapest and the dearest cell
CELL, CELL_HIGH, GRID_LEFT = 74, 34, 200
CLASH_WIDTH = WIDTH - 2 * RIGHT


class Plane(NamedTuple):
    """Where limits and costs stand on the page."""

    low: float
    high: float
    foot: float
    top: float

    def x(self, limit: float) -> float:
        """From the left edge of the page."""
        return LEFT + WALL + (limit - self.low) / (self.high - self.low) * (WIDTH - LEFT - RIGHT - 2 * WALL)

    def y(self, cost: float) -> float:
        """From its top; what is dearer than the chart stands at its top."""
        part = (cost - self.foot) / (self.top - self.foot)
        return TOP + HIGH * (1.0 - min(max(part, 0.0), 1.0))


def curve_svg(curve: Curve) -> str:
    """The chart of what one limit costs, with its breakpoints told beneath."""
    costs = [one.cost for one in curve.drawn]
    top, foot = said.shown_top(costs), min(costs)
    if top - foot < said.FLAT:
        top, foot = foot + 1.0, foot - 0.5
    plane = Plane(curve.drawn[0].limit, curve.drawn[-1].limit, foot, top)
    breaks = [point for point in curve.points if point.breakpoint]
    if curve.side == Side.AT_MOST:
        breaks.reverse()
    told = list(listed(curve, breaks, is_cut=max(costs) > top))
    title = f"{curve.title}: what {said.asked(curve)} costs"
    parts = [
        text(RIGHT, 30, curve.title or "Untitled bar", size=18, bold=True),
        text(
            RIGHT,
            52,
            f"what {said.asked(curve)} costs, {words.heading_per(curve.currency, 'kg')} of cured bar",
            fill=SOFT,
        ),
        *axes(curve, plane),
        *walls(curve, plane),
        *lines(curve, plane),
        *rings(breaks, plane),
    ]
    y = TOP + HIGH + 62.0
    for said_line in told:
        parts.append(text(RIGHT, y, said_line, size=SMALL))
        y += LEAD
    return page(WIDTH, int(y + 6), title, " ".join(told), parts)


def axes(curve: Curve, plane: Plane) -> Iterator[str]:
    """Costs to the left, limits at the foot, thin lines across."""
    right = plane.x(plane.high)
    for tick in ticks(plane.foot, plane.top, 6):
        yield line(LEFT, plane.y(tick), right, plane.y(tick), stroke=PALE)
        yield text(LEFT - 8, plane.y(tick) + 4, said.ticked(tick, plane.top, plane.foot), anchor="end", size=SMALL)
    for tick in ticks(plane.low, plane.high, 9):
        yield line(plane.x(tick), TOP + HIGH, plane.x(tick), TOP + HIGH + 5)
        yield text(plane.x(tick), TOP + HIGH + 20, f"{tick:g}", anchor="middle", size=SMALL)
    unit = "" if curve.unit in said.BARE else f" ({curve.unit})"
    yield text((LEFT + right) / 2, TOP + HIGH + 38, f"{said.asked(curve)}{unit}", anchor="middle")
    yield line(LEFT, TOP + HIGH, right, TOP + HIGH)
    yield line(LEFT, TOP, LEFT, TOP + HIGH)
    if curve.now is not None and plane.low <= curve.now <= plane.high:
        x = plane.x(curve.now)
        yield line(x, TOP - 6, x, TOP + HIGH, stroke=SOFT, width=1.5, dash="2 4")
        yield text(x + 4, TOP - 8, f"your limit, {said.at(curve, curve.now)}", size=SMALL, fill=SOFT)


def walls(curve: Curve, plane: Plane) -> Iterator[str]:
    """Hatched where there is no blend any more, a dashed upright where rules give way."""
    for end in curve.ends:
        if end.why == "rules":
            yield line(plane.x(end.limit), TOP, plane.x(end.limit), TOP + HIGH, width=1.5, dash="8 4")
        if end.why == "blend":
            is_left = abs(end.limit - plane.low) < abs(end.limit - plane.high)
            x = LEFT if is_left else plane.x(plane.high)
            yield box(x, TOP, WALL, HIGH, "url(#no-blend)", edge=INK)


def lines(curve: Curve, plane: Plane) -> Iterator[str]:
    """The curve: drawn through where it is followed, dashed where it is laid through answers."""
    drawn = curve.drawn
    places = list(pairwise(drawn))
    for (is_jump, is_laid), group in groupby(places, key=lambda pair: (is_jump_between(*pair), pair[0].is_laid)):
        pairs = list(group)
        if is_jump:
            continue
        along = [pairs[0][0], *(other for _, other in pairs)]
        kept = [one for one in along if one.cost <= plane.top or one is along[0]]
        yield path(
            [(plane.x(one.limit), plane.y(one.cost)) for one in (along if len(kept) < len(along) else kept)],
            dash="7 5" if is_laid else "",
        )


def is_jump_between(one: Drawn, other: Drawn) -> bool:
    """Whether the curve jumps: two costs at one limit."""
    return one.limit == other.limit


def rings(breaks: list[CurvePoint], plane: Plane) -> Iterator[str]:
    """A numbered ring at each breakpoint."""
    last = -100.0
    for number, point in enumerate(breaks[:MOST_NUMBERED], start=1):
        if point.cost_per_kg > plane.top:
            continue
        x, y = plane.x(point.limit), plane.y(point.cost_per_kg)
        yield dot(x, y)
        is_free = abs(x - last) >= CROWDED  # else its number goes to the other side of the line
        yield text(
            x - 6 if is_free else x + 6,
            y - 9 if is_free else y + 18,
            str(number),
            anchor="end" if is_free else "start",
            size=SMALL,
            bold=True,
        )
        last = x if is_free else last


def listed(curve: Curve, breaks: list[CurvePoint], *, is_cut: bool) -> Iterator[str]:
    """What stands beneath the chart, line by line: breakpoints, the end, how sure it is."""
    told = []
    word = said.harder(curve.side)
    for number, point in enumerate(breaks[:MOST_LISTED], start=1):
        changed = said.changes(point) or "the price of a step changes"
        told.append(f"{number}  {word} {said.at(curve, point.limit)}, {words.money(point.cost_per_kg)}: {changed}")
    if len(breaks) > MOST_LISTED:
        told.append(f"and {len(breaks) - MOST_LISTED} more breakpoints")
    told += [said.ended(curve, end) for end in curve.ends]
    if is_cut:
        told.append(
            f"The chart is cut at the top; the curve goes on to {words.money(max(one.cost for one in curve.drawn))}."
        )
    told += [
        one
        for one in (said.free(curve), said.gives_way(curve), said.how_sure(curve).replace("dotted", "dashed"))
        if one
    ]
    told.append(
        "These are costs of recipes that hold lye: make nothing by a chart; see the answer of 'barwright blend'."
    )
    for one in told:
        yield from wrapped(one.replace(words.GLUE, "\u00a0"), CLASH_WIDTH, SMALL)


def grid_svg(grid: CurveGrid) -> str:
    """The costs of two limits together: a cell for each pair, the dearer the darker, its figure in it."""
    one, other = grid.axes
    known = [cost for costs in grid.costs for cost in costs if cost is not None]
    low, high = min(known, default=0.0), max(known, default=1.0)
    width = GRID_LEFT + CELL * len(other.limits) + RIGHT
    height = 130 + CELL_HIGH * len(one.limits) + 56
    title = f"{grid.title}: what {one.says} {one.side.words} and {other.says} {other.side.words} cost together"
    unit = words.heading_per(grid.currency, "kg")
    about = f"{len(one.limits)} by {len(other.limits)} answers, {unit} of cured bar, from {words.money(low)} to {words.money(high)}."
    parts = [
        text(RIGHT, 30, grid.title or "Untitled bar", size=18, bold=True),
        text(RIGHT, 52, f"{unit} of cured bar; hatched: no blend", fill=SOFT),
        text(GRID_LEFT, 84, f"{other.says} {other.side.words}", bold=True),
        text(RIGHT, 108, f"{one.says} {one.side.words}", bold=True, size=SMALL),
    ]
    for place, limit in enumerate(other.limits):
        parts.append(text(GRID_LEFT + CELL * (place + 0.5), 108, f"{limit:.4g}", anchor="middle", size=SMALL))
    for row, (limit, costs, kept) in enumerate(zip(one.limits, grid.costs, grid.as_written, strict=True)):
        y = 118.0 + CELL_HIGH * row
        parts.append(text(GRID_LEFT - 10, y + CELL_HIGH / 2 + 4, f"{limit:.4g}", anchor="end", size=SMALL))
        for column, cost in enumerate(costs):
            x = float(GRID_LEFT) + CELL * column
            if cost is None:
                parts.append(box(x, y, CELL, CELL_HIGH, "url(#no-blend)", edge=INK))
                continue
            shade = round(LIGHT - (LIGHT - DARK) * (cost - low) / (high - low if high > low else 1.0))
            parts.append(box(x, y, CELL, CELL_HIGH, f"rgb({shade},{shade},{shade})", edge=INK))
            ink = PAPER if shade < (LIGHT + DARK) / 2 - 20 else INK
            parts.append(
                text(
                    x + CELL / 2,
                    y + CELL_HIGH / 2 + 4,
                    f"{'' if kept[column] else '~'}{words.money(cost)}",
                    anchor="middle",
                    fill=ink,
                )
            )
    parts.append(
        text(
            RIGHT,
            height - 30,
            "A grid of answers: between two cells nothing is claimed. ~: rules of the house give way.",
            size=SMALL,
        )
    )
    return page(width, height, title, about, parts)
