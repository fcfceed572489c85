"""How much dearer than the cheapest a blend may be: a part of its cost, or money by the kilo, pound or bar."""

from __future__ import annotations

from typing import NamedTuple

from optimiser.maths.units import MASS

USUAL = 5.0  # per cent
MOST = 100.0  # per cent: what costs twice as much is not nearly as cheap


class Within(NamedTuple):
    """Per cent of the cost, or where `percent` is None so much money `per` "kg", "lb" or "bar"; `said` as it is told."""

    percent: float | None = USUAL
    money: float = 0.0
    per: str = "kg"
    currency: str = ""
    said: str = "5 %"

    def ceiling(self, ratio: float, bar_kg: float) -> float:
        """The most that a kilo of cured bar may cost, where the cheapest costs `ratio` and a bar weighs `bar_kg`."""
        if self.percent is not None:
            return ratio * (1.0 + self.percent / 100.0)
        return ratio + self.money / {"kg": 1.0, "lb": MASS["lb"], "bar": bar_kg}[self.per]


AS_USUAL = Within()
