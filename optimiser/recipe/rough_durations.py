"""Lengths of time that are only expected, in words: no more figures than they deserve."""

from __future__ import annotations

import math
import re

from optimiser.maths.units import FROM_DAYS

MONTH = 52.0 / 12.0  # weeks
FROM_MONTHS = 26.0  # weeks from which a cure is told in months
_NUMBERS = ("one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve")
_WEEKS = re.compile(
    rf"\b(\d+|{'|'.join(_NUMBERS)})\b(?: (?:to|or|-) (?:\d+|{'|'.join(_NUMBERS)}))? (week|month)s?\b", re.IGNORECASE
)
_UNITS = ((86400.0, "days", 72 * 3600.0), (3600.0, "h", 7200.0), (60.0, "min", 150.0), (1.0, "s", 0.0))


def rough_range(low: float, high: float) -> str:
    """Two lengths of time in seconds as a range, the unit said once where it is the same: "8 to 13 min".

    Both are told in the unit of the longer one, unless the shorter would be less than one of it.
    """
    if not math.isfinite(high):
        return f"{rough_duration(low)} or longer"
    size, unit, _ = next(item for item in _UNITS if high >= item[2])
    if low < size:
        first, last = rough_duration(low), f"{_stepped(high / size, unit)} {unit}"
        return f"{first} to {last}" if first != last else f"about {first}"
    first, last = _stepped(low / size, unit), _stepped(high / size, unit)
    return f"about {last} {unit}" if first == last else f"{first} to {last} {unit}"


def rough_duration(seconds: float) -> str:
    """A length of time that is only expected, to two figures of one unit: "50 s", "8.2 min", "27 h", "4.5 days"."""
    for size, unit, least in ((86400.0, "days", FROM_DAYS), (3600.0, "h", 7200.0), (60.0, "min", 90.0)):
        if seconds >= least:
            return f"{_two_figures(seconds / size)} {unit}"
    return f"{_two_figures(seconds)} s"


def _stepped(value: float, unit: str) -> str:
    """A figure in steps that people time by: halves below ten, then wholes, fives of many seconds."""
    step = 0.5 if value < 10.0 and unit != "s" else 5.0 if value >= 20.0 and unit == "s" else 1.0
    return f"{step * round(value / step):g}"


def _two_figures(value: float) -> str:
    if not math.isfinite(value):
        return "very many"
    rounded = float(f"{value:.2g}")
    return f"{rounded:.0f}" if rounded >= 10.0 else f"{rounded:g}"


def weeks_range(low: float, high: float) -> str:
    """Weeks as a range: "4 to 6 weeks", "6 to 12 months"."""
    size, unit = (MONTH, "months") if low >= FROM_MONTHS else (1.0, "weeks")
    first, last = round(low / size), round(high / size)
    return f"{first} {unit}" if first == last else f"{first} to {last} {unit}"


def weeks_in(text: str) -> float | None:
    """The weeks that words on a cure begin with: 4.0 of "Four weeks or longer."; None where they tell no time."""
    found = _WEEKS.search(text)
    if found is None:
        return None
    word = found[1].casefold()
    number = float(word) if word.isdigit() else float(_NUMBERS.index(word) + 1)
    return number * (MONTH if found[2].casefold() == "month" else 1.0)
