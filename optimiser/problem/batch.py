"""How much is made, how it is poured, and what a cured bar weighs, as values."""

from __future__ import annotations

import math
from typing import NamedTuple

from optimiser.measures.cure import USUAL_CURE
from optimiser.problem.units import Units
from optimiser.text.spans import Span

DEFAULT_FATS = 1.0  # kg
MOST_FATS = 100_000.0  # kg
DEFAULT_BAR = 0.1  # kg
DEFAULT_BATTER = 35.0  # degC
DEFAULT_CURED_WATER = 0.10
DEFAULT_CURE = USUAL_CURE  # weeks


class Mould(NamedTuple):
    """The inside of a mould, in cm, or what it holds in millilitres; `headroom` is the part of it left empty.

    A block has length, width and depth, a cylinder diameter and depth, any other mould `each_ml`. There are `cavities` of it, and
    the moulds `beside` it are filled too. `is_cavities`: a bar comes out of each; else bars are cut.
    """

    length_cm: float = 0.0
    width_cm: float = 0.0
    depth_cm: float = 0.0
    diameter_cm: float = 0.0
    cavities: int = 1
    each_ml: float = 0.0
    headroom: float = 0.0
    beside: tuple[Mould, ...] = ()
    is_cavities: bool = False

    @property
    def every_cavity(self) -> int | None:
        """How many cavities there are in all of them; None where bars are cut from one of them."""
        if not all(one.is_cavities for one in (self, *self.beside)):
            return None
        return self.cavities + sum(other.cavities for other in self.beside)

    @property
    def litres(self) -> float:
        """What is poured into all of them."""
        if self.each_ml:
            one = self.each_ml
        elif self.diameter_cm:
            one = math.pi / 4.0 * self.diameter_cm**2 * self.depth_cm
        else:
            one = self.length_cm * self.width_cm * self.depth_cm
        return self.cavities * one * (1.0 - self.headroom) / 1000.0 + math.fsum(other.litres for other in self.beside)


class Batch(NamedTuple):
    """What is to be made: a mass of fats, a number of bars, a mouldful, or a mass of batter; exactly one of them is set.

    `cured_water` is the share of a cured bar that is water; `scale_g` is the step of the balance, None where it was
    not told, and `units` what it is read in; `span` is None where the batch is the default one. `given` names what the maker wrote, by field.
    """

    fats_kg: float | None = DEFAULT_FATS
    bars: int | None = None
    mould: Mould | None = None
    cured_weight_kg: float = DEFAULT_BAR
    batter_temperature: float = DEFAULT_BATTER
    gel: bool = False
    cured_water: float = DEFAULT_CURED_WATER
    scale_g: float | None = None
    span: Span | None = None
    given: frozenset[str] = frozenset()
    scale_span: Span | None = None
    cure_weeks: float = DEFAULT_CURE
    batter_kg: float | None = None
    units: Units = Units.GRAMS

    @property
    def cavities(self) -> int | None:
        """How many bars come out of the mould, one from each cavity; None where bars are cut, or told by what one weighs."""
        return None if self.mould is None or "cured_weight" in self.given else self.mould.every_cavity
