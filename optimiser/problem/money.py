"""Money: what a kilo of something costs, as a shelf tells it and as a recipe is reckoned with."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import NamedTuple

from optimiser.text.spans import Span

MOST_MONEY = 1e6  # a kilo


class Price(NamedTuple):
    """Money per kg, the currency as written, and where."""

    per_kg: float
    currency: str
    span: Span


class Prices(NamedTuple):
    """Money per kilo of what is weighed."""

    currency: str
    fats: Mapping[str, float]
    sodium_hydroxide: float = 0.0
    potassium_hydroxide: float = 0.0
    additives: Mapping[str, float] = MappingProxyType({})
