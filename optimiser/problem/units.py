"""The units that a maker's balance is read in: grams, kilograms, ounces, pounds, or pounds and ounces."""

from __future__ import annotations

from enum import StrEnum
from types import MappingProxyType
from typing import TYPE_CHECKING

from optimiser.maths.units import MASS

if TYPE_CHECKING:
    from collections.abc import Mapping


class Units(StrEnum):
    """What weights are told in; the avoirdupois ounce is 28.349523125 g and the pound 453.59237 g, by definition.

    >>> from optimiser import Units
    >>> [str(one) for one in Units], round(Units.OUNCES.grams, 3)
    (['g', 'kg', 'oz', 'lb', 'lb oz'], 28.35)
    """

    GRAMS = "g"
    KILOGRAMS = "kg"
    OUNCES = "oz"
    POUNDS = "lb"
    POUNDS_AND_OUNCES = "lb oz"

    @property
    def is_metric(self) -> bool:
        """Whether weights are in grams or kilograms."""
        return self in (Units.GRAMS, Units.KILOGRAMS)

    @property
    def grams(self) -> float:
        """What one of them weighs; of pounds and ounces, an ounce."""
        return 1000.0 * MASS["oz" if self == Units.POUNDS_AND_OUNCES else self.value]

    @property
    def words(self) -> str:
        """The unit at the head of a column."""
        return _HEADS[self]


def units_of_scale(step_grams: float | None) -> Units:
    """What a balance of such a step is read in: steps of 1, 2 or 5 in ounces or pounds are no whole number of milligrams.

    >>> units_of_scale(2.8349523125), units_of_scale(4.5359237), units_of_scale(0.5)
    (<Units.OUNCES: 'oz'>, <Units.POUNDS: 'lb'>, <Units.GRAMS: 'g'>)
    """
    if step_grams is None or abs(1000.0 * step_grams - round(1000.0 * step_grams)) < LITTLE:
        return Units.GRAMS
    digits = f"{step_grams / Units.POUNDS.grams:.9e}".split("e")[0]
    return Units.POUNDS if float(digits) in (1.0, 2.0, 5.0) else Units.OUNCES


LITTLE = 1e-6  # of a milligram
_HEADS: Mapping[Units, str] = MappingProxyType(
    {
        Units.GRAMS: "grams",
        Units.KILOGRAMS: "kilograms",
        Units.OUNCES: "ounces",
        Units.POUNDS: "pounds",
        Units.POUNDS_AND_OUNCES: "lb oz",
    }
)
_LONG = {
    **dict.fromkeys(("gram", "grams", "gramme", "grammes"), Units.GRAMS),
    **dict.fromkeys(("kilo", "kilos", "kilogram", "kilograms"), Units.KILOGRAMS),
    **dict.fromkeys(("ounce", "ounces"), Units.OUNCES),
    **dict.fromkeys(("lbs", "pound", "pounds"), Units.POUNDS),
    **dict.fromkeys(("lb and oz", "lbs oz", "pounds and ounces", "pounds ounces"), Units.POUNDS_AND_OUNCES),
}


def units_called(text: str) -> Units | None:
    """The units that a word stands for; None where it stands for none."""
    word = " ".join(text.casefold().replace(",", " ").replace("_", " ").replace("-", " ").split())
    return next((one for one in Units if one.value == word), _LONG.get(word))
