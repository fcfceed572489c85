"""The price at which a fat left on the shelf would come into the blend."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

import numpy as np

from optimiser.arrays import Vector
from optimiser.cheapest import Cheapest
from optimiser.prices import gain_of_forcing
from optimiser.programme import Programme
from optimiser.solver import Live, Work
from optimiser.switches import Part, ties_of

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
        self._programme, self._work = live.programme, live.work
        self._whole = Part.of(live.programme, ties_of(live.programme))
        self._cost = live.programme.money - found.ratio * live.programme.cured
        n = live.programme.columns.count
        self._chosen = [place for place in range(n) if found.point[place] > UNUSED]

    def price(self, place: int, price: float) -> float | None:
        """The price below which a fat not chosen enters at the latest; None where no single exchange lets it in."""
        beside = Beside(self._whole, self._cost, self._chosen, place, self._work)
        drops = [drop for out in self._exchanges() if (drop := beside.drop(out)) is not None]
        entered = price - min(drops) if drops else 0.0
        return entered if entered > 0 else None

    def _exchanges(self) -> Iterator[int | None]:
        """Which fat goes out: none where there is room for one more, then each of those chosen."""
        if has_room(self._programme, len(self._chosen)):
            yield None
        yield from self._chosen


class Beside:
    """A small linear model: the fats chosen, all of them used, and one more beside them or in the place of one."""

    def __init__(self, whole: Part, cost: Vector, chosen: Sequence[int], place: int, work: Work) -> None:
        ties, most = whole.ties, np.full(whole.size, np.inf)
        used = [*chosen, place]
        most[np.setdiff1d(ties.shares, used)] = 0.0
        part = whole.narrowed(most)
        made = part.programme
        self._switch = dict(zip(part.columns[part.ties.shares].tolist(), part.ties.switches.tolist(), strict=True))
        low = made.column_low.copy()
        low[list(self._switch.values())] = 1.0
        self._live = Live(replace(made, column_low=low, integer=np.zeros_like(made.integer)), work, is_part=True)
        self._cost = cost[part.columns]
        self._place = int(np.flatnonzero(part.columns == place)[0]) if place in self._switch else None

    def drop(self, out: int | None) -> float | None:
        """By how much the price of the fat must fall for the exchange to cost no more than the blend found."""
        if self._place is None:
            return None
        if out is None:
            return self._settle(self._place)
        switch = self._switch[out]
        self._live.bound_column(switch, 0.0, 0.0)
        drop = self._settle(self._place)
        self._live.restore_column(switch)
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
