"""The price at which a fat left on the shelf would come into the blend.

With a fat's price lowered by d, the least cost over the blends is concave in d; the fat comes in where that cost first
falls below today's. Newton's steps from a d that brings it in come down to that point from the safe side: below every
price met on the way the fat comes in for certain.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

import numpy as np

from optimiser.arrays import Vector
from optimiser.cheapest import Cheapest, with_choice_fixed
from optimiser.programme import Programme
from optimiser.solver import Live, Outcome

MOST_ROUNDS = 20
CLOSE = 1e-9  # money per kilo of fats
UNUSED = 1e-7
UNUSED_BESIDE = 1e-5  # a share that the hair of room of a preference held may let in
MOST_SEARCHES = 40  # searches among whole numbers; what they do not reach is not known

Enters = Literal["below", "at the latest below", "never", "unknown"]


@dataclass(frozen=True, slots=True)
class Entry:
    """When a fat comes in, and the price per kilo that it turns on (None where there is none)."""

    enters: Enters
    price: float | None = None


NEVER, UNKNOWN = Entry("never"), Entry("unknown")


class Entries:
    """Answers for one fat after another when it would come in, over one model at the cost found.

    Cost itself may be a goal: a blend that costs what today's does meets it as today's does, and a lower price only
    eases it, so rows on the cost stand aside.
    """

    def __init__(self, live: Live, found: Cheapest) -> None:
        self._programme = programme = live.programme
        self._cost = programme.money - found.ratio * programme.cured
        self._linear = with_choice_fixed(live, found)
        self._live = live
        self._costs = [place for place, row in enumerate(programme.rows) if row.figure == "cost"]
        self._is_limited = found.is_limited
        self._depends = any(programme.rows[place].origin == "preference" for place in self._costs)
        self._cannot_fall = any(programme.rows[place].side != "at_most" for place in self._costs)
        self._least = UNUSED_BESIDE if programme.soft else UNUSED
        n = programme.columns.count
        self._chosen = [place for place in range(n) if found.point[place] > UNUSED]
        self._searches = 0

    def of(self, place: int, price: float) -> Entry:
        """When the fat at a place, now at this price per kilo, comes in; not known where the cost itself may not fall."""
        if self._cannot_fall:
            return UNKNOWN
        for model in {id(one): one for one in (self._live, self._linear)}.values():
            model.free_rows(self._costs)
        entry = self._counted(place, price) if self._programme.is_mixed_integer else self._in_part(place, price)
        for model in {id(one): one for one in (self._live, self._linear)}.values():
            model.restore_rows(self._costs)
        return hedged(entry) if self._depends else entry

    def _in_part(self, place: int, price: float) -> Entry:
        drop = self._drop(self._linear, place, price)
        return NEVER if drop is None else Entry("below", price - drop)

    def _counted(self, place: int, price: float) -> Entry:
        """Where fats are counted: by exchanges first, and where none lets it in by a search over all blends."""
        drops = [drop for out in self._exchanges() if (drop := self._exchanged(place, out, price)) is not None]
        if drops:
            return Entry("at the latest below", price - min(drops))
        if self._searches >= MOST_SEARCHES or self._is_limited:
            return UNKNOWN
        self._searches += 1
        outcome = self._live.minimise(lowered(self._cost, place, price))
        if outcome.feasible and enters(outcome, place, self._least):
            return Entry("at the latest below", price - dropped(self._cost, place, outcome))
        return UNKNOWN if outcome.limited else NEVER

    def _exchanges(self) -> Iterator[int | None]:
        """Which fat goes out: none where there is room for one more, then each of those chosen."""
        if has_room(self._programme, len(self._chosen)):
            yield None
        yield from self._chosen

    def _exchanged(self, place: int, out: int | None, price: float) -> float | None:
        """By how much the price of a fat must fall for it to come in, beside the others or in the place of one."""
        held = [switch for switch in self._programme.switches if switch.fat in (place, out)]
        before = self._linear.programme
        for switch in held:
            used = float(switch.fat == place)
            self._linear.bound_column(switch.column, used, used)
        drop = self._drop(self._linear, place, price)
        for switch in held:
            self._linear.bound_column(
                switch.column, float(before.column_low[switch.column]), float(before.column_high[switch.column])
            )
        return drop

    def _drop(self, model: Live, place: int, price: float) -> float | None:
        """The least drop of a price at which a model takes the fat at today's cost; None where even as a gift it does not."""
        drop = price
        for _ in range(MOST_ROUNDS):
            outcome = model.minimise(lowered(self._cost, place, drop))
            if not outcome.feasible or not enters(outcome, place, self._least):
                return None if drop == price else drop
            reached = dropped(self._cost, place, outcome)
            if reached >= drop - CLOSE:
                return drop
            drop = reached
        return drop


def hedged(entry: Entry) -> Entry:
    """What is still true where a lower price changes how far a preference is met."""
    return Entry("at the latest below", entry.price) if entry.price is not None else UNKNOWN


def lowered(cost: Vector, place: int, drop: float) -> Vector:
    """Costs with one price lowered."""
    out = cost.copy()
    out[place] -= drop
    return out


def enters(outcome: Outcome, place: int, least: float) -> bool:
    """Whether a fat at a lowered price makes a cheaper blend than today's, and is in it with more than a least share."""
    return outcome.objective < -CLOSE and float(outcome.point[place]) > least


def dropped(cost: Vector, place: int, outcome: Outcome) -> float:
    """The drop of the price at which the blend found costs what today's does."""
    return float(cost @ outcome.point) / float(outcome.point[place])


def has_room(programme: Programme, chosen: int) -> bool:
    """Whether the goals let one more fat into the blend."""
    limits = [row.limit for row in programme.rows if row.figure == "fats" and row.side != "at_least"]
    return chosen < min(limits, default=np.inf)
