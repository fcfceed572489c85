"""The price at which a fat left on the shelf would come into the blend.

With a fat's price lowered by d, the least cost over the blends is concave in d; the fat comes in where that cost first
falls below today's. Newton's steps from a d that brings it in come down to that point from the safe side: below every
price met on the way the fat comes in for certain.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Literal, NamedTuple

import numpy as np

from optimiser.maths.arrays import Vector
from optimiser.measures.sides import Side
from optimiser.model.programme import Programme
from optimiser.problem.wishes import Origin
from optimiser.solve.optimum import Cheapest
from optimiser.solve.outcomes import Outcome, Undecided, Work
from optimiser.solve.solver import Live
from optimiser.solve.switches import Part, ties_of

MOST_ROUNDS = 20
CLOSE = 1e-9  # money per kilo of fats
UNUSED = 1e-7
UNUSED_BESIDE = 1e-5  # a share that the hair of room of a preference held may let in
MOST_SEARCHES = 40  # searches among whole numbers; what they do not reach is not known

Enters = Literal["below", "at the latest below", "never", "unknown"]


class Entry(NamedTuple):
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
        self._live = live
        self._costs = [place for place, row in enumerate(programme.rows) if row.figure == "cost"]
        if programme.is_mixed_integer:
            low, high = programme.row_low.copy(), programme.row_high.copy()
            low[self._costs], high[self._costs] = -np.inf, np.inf
            self._whole = Part.of(replace(programme, row_low=low, row_high=high), ties_of(programme))
            self._has_lots = any(len(one.fats) > 1 for one in programme.switches)
        self._is_limited = found.is_limited
        on_cost = any(programme.rows[place].origin == Origin.PREFERENCE for place in self._costs)
        self._depends = on_cost or (found.is_short and bool(self._costs))  # a lower price then buys a preference
        self._cannot_fall = any(programme.rows[place].side != Side.AT_MOST for place in self._costs)
        self._least = UNUSED_BESIDE if programme.soft else UNUSED
        n = programme.columns.count
        self._chosen = [place for place in range(n) if found.point[place] > UNUSED]
        self._searches = 0

    def of(self, place: int, price: float) -> Entry:
        """When the fat at a place, now at this price per kilo, comes in; not known where the cost itself may not fall."""
        if self._cannot_fall:
            return UNKNOWN
        self._live.free_rows(self._costs)
        entry = self._counted(place, price) if self._programme.is_mixed_integer else self._in_part(place, price)
        self._live.restore_rows(self._costs)
        return hedged(entry) if self._depends else entry

    def _in_part(self, place: int, price: float) -> Entry:
        drop = least_drop(self._live, self._cost, place, price, self._least)
        return NEVER if drop is None else Entry("below", price - drop)

    def _counted(self, place: int, price: float) -> Entry:
        """Where fats are counted: by exchanges first, and where none lets it in by a search over all blends."""
        beside = Beside(self._whole, self._cost, self._chosen, place, self._live.work)
        drops = [drop for out in self._exchanges() if (drop := beside.drop(out, price, self._least)) is not None]
        if drops:
            return Entry("at the latest below", price - min(drops))
        if self._searches >= MOST_SEARCHES or self._is_limited or self._live.work.left <= 0.0:
            return UNKNOWN
        self._searches += 1
        try:
            outcome = self._live.minimise(lowered(self._cost, place, price))
        except Undecided:
            return UNKNOWN
        if outcome.feasible and enters(outcome, place, self._least):
            return Entry("at the latest below", price - dropped(self._cost, place, outcome))
        return UNKNOWN if outcome.limited else NEVER

    def _exchanges(self) -> Iterator[int | None]:
        """Which fat goes out: none where there is room for one more, then each of those chosen.

        None at all where lots of one fat share a 0/1 column: of those only a search over all blends tells.
        """
        if self._has_lots:
            return
        if has_room(self._programme, len(self._chosen)):
            yield None
        yield from self._chosen


class Beside:
    """A small linear model: the fats chosen, all of them used, and one more beside them or in the place of one."""

    def __init__(self, whole: Part, cost: Vector, chosen: Sequence[int], place: int, work: Work) -> None:
        ties, most = whole.ties, np.full(whole.size, np.inf)
        most[ties.shares] = 0.0
        most[[*chosen, place]] = np.inf
        part = whole.narrowed(most)
        made = part.programme
        self._switches: dict[int, set[int]] = {}
        for share, switch in zip(part.columns[part.ties.shares].tolist(), part.ties.switches.tolist(), strict=True):
            self._switches.setdefault(share, set()).add(switch)
        low = made.column_low.copy()
        low[[switch for ones in self._switches.values() for switch in ones]] = 1.0
        self._live = Live(replace(made, column_low=low, integer=np.zeros_like(made.integer)), work)
        self._cost = cost[part.columns]
        self._place = int(np.flatnonzero(part.columns == place)[0]) if place in self._switches else None

    def drop(self, out: int | None, price: float, least: float) -> float | None:
        """By how much the price of the fat must fall for the exchange to cost no more than the blend found."""
        if self._place is None:
            return None
        held = sorted(self._switches.get(out, ())) if out is not None else []
        for switch in held:
            self._live.bound_column(switch, 0.0, 0.0)
        drop = least_drop(self._live, self._cost, self._place, price, least)
        for switch in held:
            self._live.restore_column(switch)
        return drop


def least_drop(model: Live, cost: Vector, place: int, price: float, least: float) -> float | None:
    """The least drop of a price at which a linear model takes a fat at today's cost; None where even as a gift it does not."""
    drop = price
    for _ in range(MOST_ROUNDS):
        outcome = model.minimise(lowered(cost, place, drop))
        if not outcome.feasible or not enters(outcome, place, least):
            return None if drop == price else drop
        reached = dropped(cost, place, outcome)
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
    limits = [row.limit for row in programme.rows if row.figure == "fats" and row.side != Side.AT_LEAST]
    return chosen < min(limits, default=np.inf)
