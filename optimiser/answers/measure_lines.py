"""Measures as lines of an answer: value, band, and the limits that rows put on them."""

from __future__ import annotations

import math
from collections.abc import Collection, Mapping, Sequence

from optimiser.answers.weighed_lines import MeasureLine
from optimiser.measures.measures import Measure, measures
from optimiser.measures.sides import Side
from optimiser.model.rows import Row

DECIMALS = 1  # that a measure is printed in
HALF = 0.5 * 10.0**-DECIMALS


def measure_lines(
    values: Mapping[str, float], rows: Sequence[Row], eased: Collection[str] = ()
) -> tuple[MeasureLine, ...]:
    """One line for each measure of the bar, in the order of the reference; `eased` are the wishes that gave way."""
    lines = []
    for name, measure in measures().items():
        limits = [row for row in rows if row.figure == name and row.bottom is None and row.unit == "index"]
        lows = [row.limit for row in limits if row.side != Side.AT_MOST]
        highs = [row.limit for row in limits if row.side != Side.AT_LEAST]
        ends = (max(lows, default=None), min(highs, default=None))
        lines.append(
            MeasureLine(
                id=name,
                words=measure.words,
                value=values[name],
                unit=measure.unit,
                band=band_told(measure, values[name], limits),
                bands=tuple((band.word, band.low, band.high) for band in measure.bands),
                uncertainty=f"+/- {measure.uncertainty:g}" if measure.uncertainty else measure.coarse,
                high_means=measure.high_means,
                low_limit=ends[0],
                high_limit=ends[1],
                gave_way=any(str(row.wish) in eased and row.limit in ends for row in limits),
            )
        )
    return tuple(lines)


def band_told(measure: Measure, value: float, limits: Sequence[Row]) -> str:
    """The band's word for a value as it is printed; at the edge of a band that was asked for and is met, that band's."""
    asked = {row.said.band for row in limits if row.said.band}
    for band in measure.bands:
        low = -math.inf if band.low is None else band.low
        high = math.inf if band.high is None else band.high
        if band.word in asked and low - HALF < value < high + HALF:
            return band.word
    return measure.band(round(value, DECIMALS))
