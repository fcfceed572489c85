"""Weights as they are told: in the units that the balance is read in, and in as many digits as it shows.

A recipe holds grams, rounded to the steps of its balance; here they are only written. What is told of an alkali is never
more than the recipe holds (a milligram aside, to which steps in ounces are kept).
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, NamedTuple

from optimiser.problem.units import Units
from optimiser.recipe.balance import fat_places, jug_places, written

if TYPE_CHECKING:
    from optimiser.recipe.evaluation import Recipe

MILLIGRAM = 0.001
OUNCES = 16  # in a pound
ROUGH = {Units.GRAMS: 0, Units.KILOGRAMS: 2, Units.OUNCES: 1, Units.POUNDS: 2, Units.POUNDS_AND_OUNCES: 1}
"""Decimals of a weight that nobody weighs out, such as that of all bars together."""
UNTOLD_STEP = 2  # decimals of ounces where no step in ounces was rounded to


class Weights(NamedTuple):
    """The units that weights are told in, and their decimals."""

    units: Units = Units.GRAMS
    decimals: int = 0

    @property
    def head(self) -> str:
        """The unit at the head of a column."""
        return self.units.words

    def figure(self, grams: float, blank: str = " ") -> str:
        """A weight in a column that its unit heads; pounds and ounces carry theirs."""
        if not math.isfinite(grams):
            return "-"
        if self.units == Units.GRAMS:
            return written(grams, self.decimals, blank)
        if self.units == Units.POUNDS_AND_OUNCES:
            return self._pounds(grams, blank)
        return f"{grams / self.units.grams + 0.0:.{self.decimals}f}"

    def alkali(self, grams: float, blank: str = " ") -> str:
        """The same of an alkali, whose digits are cut off and not rounded."""
        if not math.isfinite(grams):
            return "-"
        return self.figure(self._cut(grams) * self.units.grams, blank)

    def change(self, before: float, after: float, *, alkali: bool = False) -> float:
        """How much more is told after than before, in the unit (of pounds and ounces, in ounces); what is told adds up.

        Args:
            before: grams.
            after: grams.
            alkali: both are cut off, so that nobody adds more than the recipe holds.
        """
        first, second = (self._cut(grams) if alkali else grams / self.units.grams for grams in (before, after))
        return round(second, self.decimals) - round(first, self.decimals)

    def change_told(self, before: float, after: float, *, alkali: bool = False) -> str:
        """The same with its unit and a sign: "+0.4 g"; "-1 lb 2.0 oz"."""
        by = self.change(before, after, alkali=alkali)
        return f"{'-' if by < 0.0 else '+'}{self.told(abs(by) * self.units.grams)}"

    def by(self, before: float, after: float, *, alkali: bool = False) -> str:
        """The same in words: "0.4 g more", "as before"."""
        by = self.change(before, after, alkali=alkali)
        if round(by, self.decimals) == 0.0:
            return "as before"
        return f"{self.told(abs(by) * self.units.grams)} {'more' if by > 0.0 else 'less'}"

    def told(self, grams: float, blank: str = " ") -> str:
        """A weight with its unit."""
        return self._united(self.figure(grams, blank), blank)

    def alkali_told(self, grams: float, blank: str = " ") -> str:
        """An alkali with its unit."""
        return self._united(self.alkali(grams, blank), blank)

    def _cut(self, grams: float) -> float:
        power, hair = 10.0**self.decimals, 0.0 if self.units.is_metric else MILLIGRAM
        return math.floor((grams + hair) / self.units.grams * power + 1e-6) / power

    def _united(self, figure: str, blank: str) -> str:
        return figure if self.units == Units.POUNDS_AND_OUNCES else f"{figure}{blank}{self.units}"

    def _pounds(self, grams: float, blank: str) -> str:
        ounces = round(grams / self.units.grams, self.decimals)
        pounds = math.floor(ounces / OUNCES + 1e-9)
        left = f"{ounces - OUNCES * pounds + 0.0:.{self.decimals}f}{blank}oz"
        return f"{pounds}{blank}lb{blank}{left}" if pounds else left


def of_fats(recipe: Recipe) -> Weights:
    """How the fats of a recipe are told."""
    return Weights(recipe.units, decimals_of(recipe.units, fat_places(recipe), recipe.fat_step))


def of_jug(recipe: Recipe) -> Weights:
    """How its alkali, water and additives are told."""
    return Weights(recipe.units, decimals_of(recipe.units, jug_places(recipe), recipe.alkali_step))


def finer(*told: Weights) -> Weights:
    """Of weights in the same units those with the most decimals, for a table or a page that tells several recipes."""
    return max(told, key=lambda one: one.decimals)


def stocked(units: Units) -> Weights:
    """How what lies on a shelf is told: in kilograms, or in pounds."""
    return Weights(Units.KILOGRAMS if units.is_metric else Units.POUNDS, 2)


def rough(units: Units) -> Weights:
    """How a weight is told that nobody weighs out."""
    return Weights(units, ROUGH[units])


def decimals_of(units: Units, in_grams: int, step: float) -> int:
    """Decimals in a unit: those that weights have in grams, or those of the step of a balance that reads ounces or pounds."""
    if units.is_metric:
        return in_grams + (3 if units == Units.KILOGRAMS else 0)
    digits = digits_of(units, step)
    return UNTOLD_STEP + (units == Units.POUNDS) if digits is None else digits


def step_told(units: Units, step: float) -> str:
    """The step of a balance with its unit: "0.1 g", "0.01 oz"; in grams or ounces where it is one of those, as a maker may tell it."""
    unit = Units.OUNCES if units == Units.POUNDS_AND_OUNCES else units
    if digits_of(units, step) is not None:
        return f"{round(step / unit.grams, 6):g} {unit}"
    ounces, milligrams = step / Units.OUNCES.grams, step / MILLIGRAM
    in_ounces = abs(milligrams - round(milligrams)) > 1e-6 and abs(ounces - round(ounces, 4)) < 1e-9
    return f"{round(ounces, 4):g} {Units.OUNCES}" if in_ounces else f"{step:g} g"


def digits_of(units: Units, step: float) -> int | None:
    """The decimals of a step that is a tenth, a hundredth ... of an ounce or a pound; None where it is no such step."""
    if units.is_metric or not step:
        return None
    digits = -math.log10(step / units.grams)
    return round(digits) if abs(digits - round(digits)) < 1e-9 else None
