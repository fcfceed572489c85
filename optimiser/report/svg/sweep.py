"""A sweep as charts: what each bar costs kept and re-made, what re-making saves, and how the costs of the first bars spread."""

from __future__ import annotations

from typing import TYPE_CHECKING

from optimiser.report import sweep_words as said
from optimiser.report import words
from optimiser.report.svg.drawing import INK, PALE, PAPER, SOFT, box, dot, line, page, path, text, wrapped
from optimiser.report.terminal.chart import ticks

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from optimiser.answers.sweep_results import Sweep, SweptGoal

WIDTH, EDGE = 760, 40
NAMES = 210  # for what the bars are called
ROW, BAR = 40, 9
SMALL = 12
HIGH = 190
IN_DETAIL = 3
GREY = "#8a8a8a"


def sweep_svg(sweep: Sweep) -> str:
    """The charts, one beneath the other."""
    title = sweep.title or "Prices swept"
    told = [f"{one.head}: {one.text}" for one in said.to_do(sweep)]
    parts = [
        text(EDGE, 30, title, size=18, bold=True),
        text(EDGE, 52, f"{said.about(sweep)}, {words.path(sweep.prices_file)}", fill=SOFT),
    ]
    y = 84.0
    for currency in sorted({goal.currency for goal in sweep.goals}):
        goals = [goal for goal in sweep.goals if goal.currency == currency]
        parts += ranges(goals, currency, y)
        y += ROW * len(goals) + 84.0
    for goal in said.by_saving(sweep)[:IN_DETAIL]:
        if goal.spread and not goal.is_named:
            parts += spread(goal, y)
            y += HIGH + 92.0
    for sentence in told:
        for row in wrapped(sentence, WIDTH - 2 * EDGE, SMALL):
            parts.append(text(EDGE, y, row, size=SMALL))
            y += 18.0
    return page(WIDTH, int(y + 10), title, " ".join(told) or title, parts)


def ends_of(low: float, high: float) -> tuple[float, float]:
    """The ends of an axis, with some room."""
    room = 0.04 * (high - low) or 0.5
    return max(0.0, low - room), high + room


def ranges(goals: Sequence[SweptGoal], currency: str, top: float) -> Iterator[str]:
    """For each bar two strips from low to high, its mean and today's cost, and what re-making saves in words."""
    low, high = ends_of(
        min(min(goal.remade.low, goal.kept.low, goal.kept.today) for goal in goals),
        max(max(goal.remade.high, goal.kept.high, goal.kept.today) for goal in goals),
    )
    left, right = EDGE + NAMES, WIDTH - EDGE - 70
    foot = top + 16 + ROW * len(goals)

    def x(cost: float) -> float:
        return left + (cost - low) / (high - low) * (right - left)

    yield text(EDGE, top, f"{words.heading_per(currency, 'kg')} of cured bar", bold=True)
    yield text(right + 8, top, "saves", size=SMALL, fill=SOFT)
    for tick in ticks(low, high, 7):
        yield line(x(tick), top + 10, x(tick), foot, stroke=PALE)
        yield text(x(tick), foot + 16, f"{tick:g}", anchor="middle", size=SMALL)
    yield line(left, foot, right, foot)
    for number, goal in enumerate(goals):
        y = top + 16 + ROW * number
        name = wrapped(said.name_of(goal), NAMES - 12, SMALL)
        yield text(EDGE, y + 16, name[0] + ("..." if len(name) > 1 else ""), size=SMALL)
        for offset, swing, fill in ((3, goal.kept, PAPER), (5 + BAR, goal.remade, GREY)):
            yield box(x(swing.low), y + offset, max(1.0, x(swing.high) - x(swing.low)), BAR, fill, edge=INK)
            if not goal.is_named:
                yield line(x(swing.mean), y + offset - 2, x(swing.mean), y + offset + BAR + 2, width=2.5)
        yield dot(x(goal.kept.today), y + 4 + BAR, radius=4)
        yield text(right + 8, y + 18, said.saved(said.weight(goal)), size=SMALL)
    legend = "white: today's blend kept; grey: re-made; from low to high; upright: mean; ring: today"
    if any(goal.is_named for goal in goals):
        legend = "white: today's blend kept; grey: re-made; from the cheapest shock to the dearest; ring: today"
    yield text(EDGE, foot + 36, legend, size=SMALL, fill=SOFT)


def spread(goal: SweptGoal, top: float) -> Iterator[str]:
    """What a kilo costs no more than in so many of the scenarios: kept as a full line, re-made as a dashed one."""
    low, high = ends_of(min(one[2] for one in goal.spread), max(one[1] for one in goal.spread))
    left, right = EDGE + 40, WIDTH - EDGE

    def x(part: float) -> float:
        return left + part * (right - left)

    def y(cost: float) -> float:
        return top + 14 + HIGH * (1.0 - (cost - low) / (high - low))

    yield text(EDGE, top, f"{said.name_of(goal)}: {words.heading_per(goal.currency, 'kg')}", bold=True)
    for tick in ticks(low, high, 5):
        yield line(left, y(tick), right, y(tick), stroke=PALE)
        yield text(left - 6, y(tick) + 4, f"{tick:g}", anchor="end", size=SMALL)
    for part in (0.0, 0.25, 0.5, 0.75, 1.0):
        yield text(x(part), top + HIGH + 32, f"{100 * part:.0f} %", anchor="middle", size=SMALL)
    yield line(left, top + 14 + HIGH, right, top + 14 + HIGH)
    yield path([(x(part), y(kept)) for part, kept, _ in goal.spread])
    yield path([(x(part), y(made)) for part, _, made in goal.spread], width=2, dash="6 4")
    legend = "costs no more than this in so many of the scenarios; full line: kept, dashed: re-made"
    yield text(EDGE, top + HIGH + 52, legend, size=SMALL, fill=SOFT)
