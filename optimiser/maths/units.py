"""Units of mass and time and molar masses that more than one room reckons with."""

from __future__ import annotations

CALCIUM_CARBONATE = 100.086  # g/mol (IUPAC 2021 abridged atomic weights)

MASS = {"mg": 1e-6, "g": 1e-3, "kg": 1.0, "oz": 0.028349523125, "lb": 0.45359237}  # kg; ounce and pound by definition

FROM_DAYS = (
    4 * 86400.0
)  # s: from here on a length of time is told in days, since "36 h" and "72 h" are how a soaper counts
