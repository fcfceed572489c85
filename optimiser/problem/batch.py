"""How much is made, how it is poured, and what a cured bar weighs, as values."""

from __future__ import annotations

from typing import NamedTuple

from optimiser.measures.cure import USUAL_CURE
from optimiser.text.spans import Span

DEFAULT_FATS = 1.0  # kg
MOST_FATS = 100_000.0  # kg
DEFAULT_BAR = 0.1  # kg
DEFAULT_BATTER = 35.0  # degC
DEFAULT_CURED_WATER = 0.10
DEFAULT_CURE = USUAL_CURE  # weeks


class Mould(NamedTuple):
    """The inside of a mould as far as it is filled, in cm."""

    length_cm: float
    width_cm: float
    depth_cm: float


class Batch(NamedTuple):
    """What is to be made: a mass of fats, a number of bars, or a mouldful; exactly one of the three is set.

    `cured_water` is the share of a cured bar that is water; `scale_g` is the step of the balance, None where it was
    not told; `span` is None where the batch is the default one. `given` names what the maker wrote, by field.
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
