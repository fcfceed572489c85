"""A cost curve in words: a chart, its breakpoints with what changes at each, where it ends; and the grid of two limits."""

from __future__ import annotations

from typing import TYPE_CHECKING

from optimiser.measures.sides import Side
from optimiser.report import curve_words as said
from optimiser.report import words
from optimiser.report.terminal.chart import BOX, PLAIN, Frame, plotted, ticks
from optimiser.report.terminal.page import Column, Gap, Heading, Line, Paper, Part, Table

if TYPE_CHECKING:
    from collections.abc import Iterator

    from optimiser.answers.curve_values import Curve, CurveGrid, CurvePoint, GridAxis

HEIGHT = 13
GUTTER = 9  # columns for the costs beside a chart
WIDEST = 100
BETWEEN_TICKS = 12
MOST_ROWS = 24  # of breakpoints; more of them are told by --full
NO_BLEND = "none"


def parts(curve: Curve, paper: Paper, *, full: bool = False, saved: str = "") -> Iterator[Part]:
    """The chart, the breakpoints, the end and how sure it is; in full with the blend at each."""
    yield Heading(curve.title or "Untitled bar", f"what {said.asked(curve)} costs")
    yield Line(f"{words.path(curve.goal_file)}, over {curve.shelf_title}")
    for sentence in (said.nearest(curve.near_to), said.free(curve), said.now(curve)):
        if sentence:
            yield Line(sentence)
    yield Gap()
    yield from chart(curve, paper)
    yield Gap()
    yield from table(curve, full=full)
    yield Gap()
    for end in curve.ends:
        yield Line(said.ended(curve, end))
    for sentence in (said.gives_way(curve), said.how_sure(curve), said.falls(curve), said.poured(curve)):
        if sentence:
            yield Line(sentence)
    yield Gap()
    for caution in curve.cautions:
        yield Line(f"! {caution}", style="yellow", hang=2)
    yield Gap()
    if saved:
        yield Line(f"The chart is in {saved}", whole=True, indent=0)
    yield Line("Next:", indent=0)
    yield Line(f"barwright blend {words.quoted(curve.goal_file)}{paper.typed}", style="bold", whole=True)


def chart(curve: Curve, paper: Paper) -> Iterator[Part]:
    """The line with its axes."""
    marks = PLAIN if paper.ascii else BOX
    costs = [one.cost for one in curve.drawn]
    top, foot = said.shown_top(costs), min(costs)
    if top - foot < said.FLAT:
        top, foot = foot + 1.0, foot - 0.5
    width = min(WIDEST, paper.columns) - GUTTER - 4
    frame = Frame(curve.drawn[0].limit, curve.drawn[-1].limit, foot, top, width, HEIGHT)
    points = [(point.limit, point.cost_per_kg) for point in curve.points if point.breakpoint]
    rows = plotted(curve.drawn, points, frame, marks)
    labels = {frame.row(tick): said.ticked(tick, top, foot) for tick in ticks(foot, top, 6)}
    yield Line(f"{words.heading_per(curve.currency, 'kg')} of cured bar")
    ends = [end.limit for end in curve.ends if end.why == "blend"]
    left, right = (
        any(abs(end - edge) < 1e-9 * max(1.0, abs(edge)) for end in ends) for edge in (frame.left, frame.right)
    )
    for place, row in enumerate(rows):
        label = labels.get(frame.height - 1 - place, "")
        wall = marks.none if left else marks.up
        yield Line(f"{label:>{GUTTER - 2}} {wall}{row}{marks.none if right else ''}", whole=True, quoted=True)
    yield Line(" " * (GUTTER - 1) + marks.corner + marks.along * width, whole=True, quoted=True)
    yield Line(axis(curve, frame, marks.here), whole=True, quoted=True)
    legend = [f"{marks.point} the blend changes"]
    if any(one.is_laid for one in curve.drawn):
        legend.append(f"{marks.laid * 3} laid through single answers")
    if left or right:
        legend.append(f"{marks.none} no blend")
    if curve.now is not None and frame.left <= curve.now <= frame.right:
        legend.append(f"{marks.here} your limit")
    if max(costs) > top:
        legend.append(f"{marks.cut} dearer than is drawn, up to {words.money(max(costs))}")
    yield Line(", ".join(legend))


def axis(curve: Curve, frame: Frame, here: str) -> str:
    """The figures under a chart, and the mark of the file's own limit."""
    room = [" "] * (GUTTER + frame.width + 8)
    now = None if curve.now is None or not frame.left <= curve.now <= frame.right else GUTTER + frame.column(curve.now)
    taken = -2
    if now is not None:
        room[now] = here
    for tick in ticks(frame.left, frame.right, max(2, frame.width // BETWEEN_TICKS)):
        text = f"{tick:g}"
        start = GUTTER + frame.column(tick) - len(text) // 2
        if start > taken + 1 and not (now is not None and start - 1 <= now <= start + len(text)):
            room[start : start + len(text)] = text
            taken = start + len(text)
    return "".join(room).rstrip()


def table(curve: Curve, *, full: bool) -> Iterator[Part]:
    """Ends, breakpoints and the file's own limit, harder limits below."""
    told = [
        point
        for point in curve.points
        if full or point.breakpoint or point.limit == curve.now or point in (curve.points[0], curve.points[-1])
    ]
    if curve.side == Side.AT_MOST:
        told.reverse()
    left_out = 0 if full else max(0, len(told) - MOST_ROWS)
    if left_out:
        told = [*told[: MOST_ROWS - 1], told[-1]]
    heads = (
        Column(f"{said.harder(curve.side)}\nthis", "right"),
        Column("a kilo\ncosts", "right"),
        Column(f"{said.a_step(curve)}\nmore", "right"),
        Column("what changes", wraps=True, least=24),
    )
    yield Table(heads, [row(curve, point, full=full) for point in told])
    if left_out:
        yield Line(f"{words.counted(left_out, 'row')} more: --full tells all, with the blend at each.")
    elif not full:
        yield Line("--full tells the blend at each row, and rows between.")


def row(curve: Curve, point: CurvePoint, *, full: bool) -> tuple[str, ...]:
    """One limit."""
    each = words.NOTHING if point.each_more is None else words.money(said.step(curve) * point.each_more, small=True)
    told = [said.changes(point)]
    if point.limit == curve.now and not point.breakpoint:
        told.append("your limit")
    if any(point.limit == end.limit and end.why == "blend" for end in curve.ends):
        told.append("the end: no blend beyond")
    if full:
        told.append(", ".join(f"{share:.1f} % {name}" for name, share in point.fats if share >= 0.05))
    about = "" if point.exact or curve.is_counted else "~"
    return (
        said.at(curve, point.limit),
        f"{about}{words.money(point.cost_per_kg)}",
        each,
        "; ".join(filter(None, told)),
    )


# -- two limits ------------------------------------------------------------------------------------------------------


def grid_parts(grid: CurveGrid, paper: Paper) -> Iterator[Part]:
    """The costs of two limits together, a row for each of the first."""
    one, other = grid.axes
    yield Heading(grid.title or "Untitled bar", "what two limits cost together")
    yield Line(f"{words.path(grid.goal_file)}, over {grid.shelf_title}")
    if grid.near_to:
        yield Line(said.nearest(grid.near_to))
    yield Gap()
    yield Line(
        f"{words.heading_per(grid.currency, 'kg')} of cured bar: {one.says} {one.side.words} downwards, {other.says} "
        f"{other.side.words} to the right"
    )
    heads = (Column("", "right"), *(Column(axis_figure(other, limit), "right") for limit in other.limits))
    rows = [
        (axis_figure(one, limit), *(cell(cost, as_written=kept) for cost, kept in zip(costs, row, strict=True)))
        for limit, costs, row in zip(one.limits, grid.costs, grid.as_written, strict=True)
    ]
    yield Table(heads, rows)
    yield Gap()
    asked = len(one.limits) * len(other.limits)
    yield Line(
        f"A grid of {asked} answers, each asked by itself: between two of them nothing is claimed. "
        f"'{NO_BLEND}': no blend meets both with the other goals."
    )
    if any(
        cost is not None and not kept
        for pair in zip(grid.costs, grid.as_written, strict=True)
        for cost, kept in zip(*pair, strict=True)
    ):
        yield Line(
            "~: rules of the house, or of whom the bar is for, give way there, so that such a bar is held to less."
        )
    yield Gap()
    for caution in grid.cautions:
        yield Line(f"! {caution}", style="yellow", hang=2)
    yield Gap()
    yield Line("Next:", indent=0)
    yield Line(f"barwright blend {words.quoted(grid.goal_file)}{paper.typed}", style="bold", whole=True)


def cell(cost: float | None, *, as_written: bool) -> str:
    """One cost of a grid."""
    return NO_BLEND if cost is None else f"{'' if as_written else '~'}{words.money(cost)}"


def axis_figure(axis: GridAxis, limit: float) -> str:
    """A limit of a grid, in digits that tell it from its neighbours."""
    width = axis.limits[-1] - axis.limits[0]
    return said.figure(limit, axis.unit, 1 + (width < said.FINE) + (width < said.FINER))
