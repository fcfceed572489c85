"""A measure on its scale as a drawing (SVG) that a printer without colours prints whole: lines and shapes, no shades.

A thin line is the scale, ticks above it are edges of bands. The stretch that limits leave is a heavy line between brackets
that open inwards, and the bar stands on it as a diamond; off the scale it is an arrow at its end. All of it is told in words beside.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from optimiser.report.terminal.gauges import scale_of

if TYPE_CHECKING:
    from collections.abc import Iterator

    from optimiser.answers.weighed_lines import MeasureLine

WIDTH, HEIGHT = 240.0, 22.0
EDGE = 8.0  # left free at either end, so that a diamond at the end is whole
MIDDLE = 12.0
DIAMOND = 6.0
FOOT = 4.0  # of a bracket
INK = "#000"


def gauge(line: MeasureLine) -> str:
    """The drawing; it holds figures of ours alone, so that nothing in it needs to be made inert."""
    body = "".join(_shapes(line))
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDTH:g} {HEIGHT:g}" width="{WIDTH:g}" height="{HEIGHT:g}" '
        f'fill="none" stroke="{INK}" stroke-width="1" aria-hidden="true">{body}</svg>'
    )


def place_of(line: MeasureLine, value: float) -> float:
    """How far from the left a value stands; what lies beyond the scale stands at its end."""
    top = scale_of(line)
    return EDGE + (WIDTH - 2.0 * EDGE) * min(1.0, max(0.0, value / top))


def _shapes(line: MeasureLine) -> Iterator[str]:
    left, right = place_of(line, 0.0), place_of(line, scale_of(line))
    yield f'<path d="M{left:.1f} {MIDDLE:g}H{right:.1f}M{left:.1f} 8v8M{right:.1f} 8v8"/>'
    for _, edge, _ in line.bands:
        if edge:
            yield f'<path d="M{place_of(line, edge):.1f} {MIDDLE:g}v-7"/>'
    low, high = line.low_limit, line.high_limit
    if low is not None or high is not None:
        first = left if low is None else place_of(line, low)
        last = right if high is None else place_of(line, high)
        if last > first:
            yield f'<path stroke-width="4" d="M{first:.1f} {MIDDLE:g}H{last:.1f}"/>'
        if low is not None:
            yield f'<path stroke-width="2" d="M{first + FOOT:.1f} 4h-{FOOT:g}v16h{FOOT:g}"/>'
        if high is not None:
            yield f'<path stroke-width="2" d="M{last - FOOT:.1f} 4h{FOOT:g}v16h-{FOOT:g}"/>'
    if math.isfinite(line.value):
        yield _pointer(line)


def _pointer(line: MeasureLine) -> str:
    here = place_of(line, line.value)
    if line.value < 0.0:
        shape = f"M{here + DIAMOND:.1f} {MIDDLE - DIAMOND:g}l-{2 * DIAMOND:g} {DIAMOND:g}l{2 * DIAMOND:g} {DIAMOND:g}z"
    elif line.value > scale_of(line):
        shape = f"M{here - DIAMOND:.1f} {MIDDLE - DIAMOND:g}l{2 * DIAMOND:g} {DIAMOND:g}l-{2 * DIAMOND:g} {DIAMOND:g}z"
    else:
        shape = f"M{here:.1f} {MIDDLE - DIAMOND:g}l{DIAMOND:g} {DIAMOND:g}l-{DIAMOND:g} {DIAMOND:g}l-{DIAMOND:g} -{DIAMOND:g}z"
    return f'<path fill="#fff" stroke-width="2.5" stroke-linejoin="round" d="{shape}"/>'
