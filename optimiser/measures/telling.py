"""In how many digits a figure is told beside its limit, so that print never says other than the verdict."""

from __future__ import annotations

import math

from optimiser.measures.sides import Side

FINEST = 4  # decimals beyond which a figure is told in words
WRITTEN = 6  # decimals of a limit that a person may have written


def told(value: float, limit: float, side: Side, decimals: int, *, met: bool) -> str:
    """A figure in print: on the same side of its limit as the verdict, in no fewer decimals than asked if it can be.

    A figure that misses its limit has as many decimals as it takes to differ from it. One that meets it to within what a
    balance or a solver blurs has as few as it takes to be the limit, down to none; if it lies further off than that it is
    told as it is (`agrees` says so).

    Args:
        value: the figure; a dash where it is not known.
        limit: what was asked of it, in the same unit.
        side: on which side of the limit it is to lie.
        decimals: those that the unit is usually told in.
        met: the verdict.

    >>> told(65.96, 66.0, Side.AT_LEAST, 1, met=False)
    '65.96'
    >>> told(29.93, 30.0, Side.AT_LEAST, 1, met=True)
    '30'
    >>> told(-0.003, 0.0, Side.AT_LEAST, 1, met=False)
    '-0.003'
    """
    if not math.isfinite(value):
        return "-"
    asked = round(limit, WRITTEN)
    if met and not keeps(value, limit, side):
        return as_the_limit(value, asked, decimals)
    for digits in range(decimals, FINEST + 1):
        text = in_digits(value, digits)
        if agrees(text, limit, side, met=met):
            return text
    if met:
        return in_digits(asked, max(decimals, needed(asked)))
    return f"just {'under' if value < limit else 'over'} {in_digits(asked, max(decimals, needed(asked)))}"


def as_the_limit(value: float, limit: float, decimals: int) -> str:
    """A figure that meets its limit only to within what a balance blurs: the limit, in the decimals in which both are one."""
    for digits in range(decimals, -1, -1):
        if abs(value - limit) < 0.5 * 10.0**-digits:
            return in_digits(limit, max(digits, needed(limit)))
    return in_digits(value, decimals)


def agrees(text: str, limit: float, side: Side, *, met: bool) -> bool:
    """Whether a figure as printed lies on the side of its limit that the verdict says."""
    try:
        return keeps(float(text), round(limit, WRITTEN), side) == met
    except ValueError:  # told in words, or not known
        return not met


def keeps(value: float, limit: float, side: Side) -> bool:
    """Whether a figure lies where it was asked to, to the last digit."""
    return {Side.AT_LEAST: value >= limit, Side.AT_MOST: value <= limit}.get(side, value == limit)


def needed(figure: float) -> int:
    """Decimals that it takes to write a figure out.

    >>> needed(30.0), needed(2.25)
    (0, 2)
    """
    return next((digits for digits in range(WRITTEN) if round(figure, digits) == figure), WRITTEN)


def in_digits(value: float, digits: int) -> str:
    """In so many decimals; nothing is less than nothing."""
    return f"{round(value, digits) + 0.0:.{digits}f}"
