"""Temperatures in degrees of Celsius and of Fahrenheit, for those whose balances read ounces or pounds."""

from __future__ import annotations

import re

from optimiser.report.words import GLUE

CELSIUS = re.compile(rf"(?<![\d.])(\d+(?:\.\d+)?)(?:-(\d+(?:\.\d+)?))?([ {GLUE}])degC")
APART = re.compile(r"(?<![\d.])(\d+) degrees\b")


def in_both_degrees(text: str) -> str:
    """Temperatures with degF behind them, and how far two may lie apart in degrees of both."""
    apart = APART.sub(lambda found: f"{found.group()} ({1.8 * float(found[1]):.0f} of Fahrenheit)", text)
    return CELSIUS.sub(_with_fahrenheit, apart)


def _with_fahrenheit(found: re.Match[str]) -> str:
    """A temperature, or a range of them, in degC with degF behind it."""
    low, high, blank = found.groups()
    there = "-".join(f"{float(end) * 1.8 + 32.0:.0f}" for end in (low, high) if end is not None)
    return f"{found.group()} ({there}{blank}degF)"
