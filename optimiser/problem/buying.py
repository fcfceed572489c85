"""What may be bought, and what is asked to be least: as a goal file says it, as values."""

from __future__ import annotations

from enum import StrEnum
from typing import NamedTuple

from optimiser.text.spans import Span


class Buy(StrEnum):
    """What may be bought beyond the stock: nothing, whole packs, or any mass at the price per kilo."""

    NONE = "none"
    PACKS = "packs"
    ANY = "any"


CHEAPEST_TO_MAKE, LEAST_CASH = "cheapest to make", "least cash"
ALL, NOTHING = 1.0, 0.0  # of what is left after the batch


class Taken(NamedTuple):
    """So many packs of a fat that are bought for certain: kg each, money per kg; of loose goods `number` is kilos, the size 0."""

    fat: str
    size_kg: float
    per_kg: float
    number: float

    @property
    def kilos(self) -> float:
        """How much that is."""
        return self.number * (self.size_kg or 1.0)


class Buying(NamedTuple):
    """What may be bought, and the share (a fraction) at which what is left afterwards counts.

    All of it: then only what is used counts, which is the cheapest to make. None of it: the least cash. `span` is where the
    file says what may be bought, None where it says only what is to be least.
    `taken`: what is bought is settled, and nothing else is.
    """

    buy: Buy = Buy.ANY
    left_counts: float = ALL
    span: Span | None = None
    taken: tuple[Taken, ...] | None = None

    @property
    def to_make(self) -> Buying:
        """The same where only what is used counts."""
        return self._replace(left_counts=ALL)

    @property
    def is_cheapest_to_make(self) -> bool:
        """Whether only what is used counts."""
        return self.left_counts >= ALL


class Break(NamedTuple):
    """From so many kg ordered at once every kilo of the order costs `price`."""

    from_kg: float
    price: float
