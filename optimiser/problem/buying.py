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


class Buying(NamedTuple):
    """What may be bought, and the share (a fraction) at which what is left afterwards counts.

    All of it: then only what is used counts, which is the cheapest to make. None of it: the least cash. `span` is where the
    file says what may be bought, None where it says only what is to be least.
    """

    buy: Buy = Buy.ANY
    left_counts: float = ALL
    span: Span | None = None

    @property
    def is_cheapest_to_make(self) -> bool:
        """Whether only what is used counts."""
        return self.left_counts >= ALL


class Break(NamedTuple):
    """From so many kg ordered at once every kilo of the order costs `price`."""

    from_kg: float
    price: float
