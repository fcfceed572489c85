"""A recipe in hand, as its maker gave it: what goes into the pot, and what is left to be worked out."""

from __future__ import annotations

from pathlib import Path
from typing import NamedTuple

from optimiser.text.spans import Span


class Weighed(NamedTuple):
    """One thing and its grams; `name` is the canonical one."""

    name: str
    grams: float
    span: Span


class RecipeSheet(NamedTuple):
    """A recipe file as read. Either `alkali` or `superfat` is set, never both; of `water_g` and `lye_concentration` at most one.

    `superfat`, `potassium_share` and `lye_concentration` are per cent, `cured_water` a fraction. Alkalis are as weighed,
    impurities included. Fats and the like are in file order.
    """

    path: str
    title: str
    shelf: Path | None
    fats: tuple[Weighed, ...]
    alkali: tuple[Weighed, ...]
    superfat: float | None
    potassium_share: float
    water_g: float | None
    lye_concentration: float | None
    additives: tuple[Weighed, ...]
    batter_temperature: float
    gel: bool
    cured_water: float
    bars: int | None
    cured_weight_kg: float
    shelf_span: Span | None = None
