"""What a pot is made of and what it makes, line by line, as values: fats, additives, liquids, alkali, water, measures."""

from __future__ import annotations

from math import nan
from typing import NamedTuple


class FatLine(NamedTuple):
    """One fat of the blend: share in per cent, grams of the exact blend, grams to weigh, money for those.

    `lot` is the number of its lot; where the shelf has several, `lot_of` is the fat and `fat` names the lot too.
    """

    fat: str
    kind: str
    share: float
    grams: float
    to_weigh: float
    cost: float
    lot: str = ""
    lot_of: str = ""


class AdditiveLine(NamedTuple):
    """One additive: grams of the exact blend, grams to weigh, per cent of fats, money."""

    additive: str
    share: float
    grams: float
    to_weigh: float
    cost: float


class LiquidLine(NamedTuple):
    """A liquid that stands for water: per cent of all that is poured in water's place, grams exact and to weigh, money."""

    liquid: str
    share: float
    grams: float
    to_weigh: float
    cost: float


class AlkaliFigures(NamedTuple):
    """Alkali of the exact blend: `weigh` with its impurities, `pure` without; grams; superfats in per cent.

    `to_weigh` are the grams for the balance, rounded down. Purities as fractions.
    """

    sodium_hydroxide: float
    potassium_hydroxide: float
    sodium_hydroxide_pure: float
    potassium_hydroxide_pure: float
    sodium_to_weigh: float
    potassium_to_weigh: float
    sodium_purity: float
    potassium_purity: float
    superfat: float
    superfat_likely_low: float
    superfat_worst_case: float


class WaterFigures(NamedTuple):
    """Water of the exact blend in grams, `total` with what solutions bring; lye concentration in per cent.

    `temperature` is what the lye would reach from 20 degC with no heat lost (low and high estimate, degC, no more than
    `boiling_point`).
    """

    grams: float
    to_weigh: float
    total: float
    lye_concentration: float
    water_to_alkali: float
    share_of_fats: float
    lye_volume_ml: float
    lye_density: float
    temperature: tuple[float, float]
    boiling_point: float = nan


class MeasureLine(NamedTuple):
    """One measure of the bar with its band, how sure it is, and the limits that goals and practice put on it."""

    id: str
    words: str
    value: float
    unit: str
    band: str
    bands: tuple[tuple[str, float | None, float | None], ...]
    uncertainty: str
    high_means: str
    low_limit: float | None
    high_limit: float | None
    gave_way: bool = False  # a limit told here is a rule's that gave way to it
