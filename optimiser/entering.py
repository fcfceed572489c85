"""The price at which a fat left on the shelf would come into the blend."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from optimiser.cheapest import Cheapest, with_choice_fixed
from optimiser.prices import gain_of_forcing
from optimiser.programme import Programme
from optimiser.solver import Live

ENTRIES = (1e-4, 1e-6)  # shares forced upon an unused fat to find what it costs; the second where stock is short
MOST_ROUNDS = 12
CLOSE = 1e-9  # money per kilo of fats
UNUSED = 1e-7


def entry_price(live: Live, found: Cheapest, place: int, price: float) -> float | None:
    """The price per kilo below which an unused fat enters the blend; None if no price brings it in.

    A small share is forced upon the fat: what that costs is what its price must fall by. The model must be linear.
    """
    threshold = -np.inf
    for share in ENTRIES:
        live.bound_column(place, share, float(live.programme.column_high[place]))
        threshold = price + gain_of_forcing(live, found) / share
        live.restore_column(place)
        if np.isfinite(threshold):
            break
    return threshold if np.isfinite(threshold) and threshold > 0 else None


class Exchange:
    """Entry prices where fats are counted: a fat comes in beside those chosen, or in the place of one of them.

    Other blends, further off, might let it in at a higher price still, so it enters below the price told at the latest.
    """

    def __init__(self, live: Live, found: Cheapest) -> None:
        self._programme = live.programme
        self._live = with_choice_fixed(live, found)
        self._cost = live.programme.money - found.ratio * live.programme.cured
        n = live.programme.columns.count
        self._chosen = [place for place in range(n) if found.point[place] > UNUSED]

    def price(self, place: int, price: float) -> float | None:
        """The price below which a fat not chosen enters at the latest; None where no single exchange lets it in."""
        drops = [drop for out in self._exchanges() if (drop := self._drop(place, out)) is not None]
        entered = price - min(drops) if drops else 0.0
        return entered if entered > 0 else None

    def _exchanges(self) -> Iterator[int | None]:
        """Which fat goes out: none where there is room for one more, then each of those chosen."""
        if has_room(self._programme, len(self._chosen)):
            yield None
        yield from self._chosen

    def _drop(self, place: int, out: int | None) -> float | None:
        """By how much the price of a fat must fall for the exchange to cost no more than the blend found."""
        first = self._programme.columns.size
        changed = [(place, 1.0), *([(out, 0.0)] if out is not None else [])]
        held = {first + fat: float(self._live.programme.column_low[first + fat]) for fat, _ in changed}
        for fat, used in changed:
            self._live.bound_column(first + fat, used, used)
        drop = self._settle(place)
        for column, used in held.items():
            self._live.bound_column(column, used, used)
        return drop

    def _settle(self, place: int) -> float | None:
        """Newton's steps on the price: the least cost is concave in it, so each step stays on the safe side."""
        drop, cost = 0.0, self._cost.copy()
        for _ in range(MOST_ROUNDS):
            cost[place] = self._cost[place] - drop
            outcome = self._live.minimise(cost)
            if not outcome.feasible or outcome.point[place] <= UNUSED:
                return None
            step = outcome.objective / float(outcome.point[place])
            drop += step
            if abs(outcome.objective) <= CLOSE:
                break
        return drop


def has_room(programme: Programme, chosen: int) -> bool:
    """Whether the goals let one more fat into the blend."""
    limits = [row.limit for row in programme.rows if row.figure == "fats" and row.side != "at_least"]
    return chosen < min(limits, default=np.inf)
