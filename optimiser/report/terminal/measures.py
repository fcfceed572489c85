"""The bar's measures on their scales."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from optimiser.report import words
from optimiser.report.terminal.gauges import HUNDRED, gauge, scale_of
from optimiser.report.terminal.page import Column, Gap, Heading, Line, Paper, Part, Table

if TYPE_CHECKING:
    from collections.abc import Collection, Iterator, Mapping, Sequence

    from optimiser.answers.weighed_lines import MeasureLine

TITLE = "What the bar will be"
MIRROR = ("harshness", "mildness")  # one figure twice: the one is 100 less the other
NARROW, WIDE = 17, 51
LEAST_FOR_GAUGES = 60  # columns of a page below which figures stand without their scales
TRUST = "Rank order is trusted, absolute figures are comparative."
TOLD = (
    *("saponification_value", "iodine_value", "short_saturated", "long_saturated"),
    *("monounsaturated", "polyunsaturated"),
)


def block(
    lines: Sequence[MeasureLine],
    figures: Mapping[str, float],
    paper: Paper,
    *,
    named: Collection[str] = (),
    full: bool = False,
    of_paste: bool = False,
) -> Iterator[Part]:
    """Every measure: value, gauge, band word, how sure; and at ample width what a high figure means.

    Args:
        lines: the measures.
        figures: the figures of the fats.
        paper: what it is set on.
        named: figures that a goal, a design or a preference names.
        full: the figures that chemists ask for too.
        of_paste: what a paste has none of is told in a line.
    """
    told = [line for line in lines if line.id not in hidden(named)]
    if not told:
        return
    gone = [line.words for line in told if of_paste and not math.isfinite(line.value)]
    told = [line for line in told if line.words not in gone] or told
    if not any(math.isfinite(line.value) for line in told):
        yield Heading(TITLE)
        yield Line(
            "Not known: of a fat in it a saponification value alone is known, and that tells no measure.", hang=2
        )
        yield Gap()
        return
    width = gauge_width(told, paper)
    drawn = paper.columns >= LEAST_FOR_GAUGES
    limited = any(line.low_limit is not None or line.high_limit is not None for line in told)
    yield Heading(TITLE)
    high = (Column("high means", wraps=True),) if paper.is_wide else ()
    columns = (
        *(Column(""), Column("", "right"), *((Column(ruler(width)),) if drawn else ()), Column("")),
        *(Column(""), *high),
    )
    yield Table(
        columns,
        [
            (
                *(line.words, on_scale(line)),
                *((gauge(line, width, paper.marks),) if drawn else ()),
                *(line.band, spread(line)),
                *((line.high_means,) if paper.is_wide else ()),
            )
            for line in told
        ],
    )
    yield Line(legend(told, paper, limited=limited) if drawn else TRUST)
    if gone:
        yield Line(f"Not told of a paste: {', '.join(gone)}.", hang=2)
    if full:
        yield from also(figures)
    yield Gap()


def hidden(named: Collection[str]) -> tuple[str, ...]:
    """Of harshness and mildness the one to leave out: the one that no wish names; mildness where none names either."""
    asked = [name for name in MIRROR if name in named] or [MIRROR[0]]
    return tuple(name for name in MIRROR if name not in asked)


def on_scale(line: MeasureLine) -> str:
    """The value; off a scale of 0 to 100, where no figure means anything, only that it is off."""
    top = scale_of(line)
    if top == HUNDRED and not 0.0 <= line.value <= top and math.isfinite(line.value):
        return f"{'<' if line.value < 0.0 else '>'} {0.0 if line.value < 0.0 else top:g}".replace(" ", words.GLUE)
    return words.figure(line.value, "")


def spread(line: MeasureLine) -> str:
    """How sure the figure is, typeset: give or take so much, or a word."""
    return line.uncertainty.replace("+/-", "\u00b1")


def gauge_width(lines: Sequence[MeasureLine], paper: Paper) -> int:
    """What the other columns leave, within reason; odd, so that 50 has a cell of its own."""
    beside = max(len(line.words) for line in lines) + max(len(on_scale(line)) for line in lines)
    beside += max(len(line.band) for line in lines) + max(len(paper.say(spread(line))) for line in lines)
    if paper.is_wide:
        beside += 2 + max(len(line.high_means) for line in lines)
    room = paper.columns - 2 - 2 * 4 - beside
    width = max(NARROW, min(WIDE, room))
    return width if width % 2 else width - 1


def ruler(width: int) -> str:
    """0, 50 and 100 over their cells."""
    middle = width // 2
    return f"0{'50':>{middle}}{'100':>{width - middle - 1}}"


def legend(lines: Sequence[MeasureLine], paper: Paper, *, limited: bool) -> str:
    """What the signs mean, and how far the figures are to be trusted."""
    marks = paper.marks
    signs = [f"{marks.here} this bar", f"{marks.boundary} edge of a band"]
    if limited:
        eased = [line.words for line in lines if line.gave_way]
        way = f" (that of {words.joined(eased)} as far as it gave way)" if eased else ""
        signs.append(f"{marks.low} {marks.high} limits set by goals or practice{way}")
    odd = [f"{line.words} runs from 0 to {scale_of(line):g}" for line in lines if scale_of(line) != HUNDRED]
    return f"{', '.join(signs)}{'; ' if odd else ''}{words.joined(odd)}. {TRUST}"


def also(figures: Mapping[str, float]) -> Iterator[Part]:
    """The figures of the fats that chemists ask for."""
    from optimiser.measures.quantities import quantities

    known = quantities()
    told = [f"{known[name].words} {words.figure(figures[name], known[name].unit)}" for name in TOLD if name in figures]
    if told:
        yield Line(f"Of the fats: {', '.join(told)}.", hang=2)
