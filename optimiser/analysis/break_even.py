"""Break-even prices: between which two prices of a fat, all others as they are, today's blend stays the cheapest.

Along the price of one fat the cost of every blend is a straight line, and the least of them is concave. So from a price at which
another blend is cheaper, the price at which that one and today's cost the same is nearer, and the steps end at the break-even
price after a few (Newton's method on a concave function of finitely many lines).
"""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple

import numpy as np

from optimiser.analysis.swept import Swept
from optimiser.maths.arrays import Vector
from optimiser.solve.optimum import least_ratio
from optimiser.solve.outcomes import Undecided, Work
from optimiser.solve.solver import Live

DEAREST = 10.0  # times today's price: what stays beyond that, stays
MOST_ROUNDS = 40
SAME = 1e-9  # relative: blends that cost the same
UNUSED = 1e-6  # of the fats
Asked = Callable[[Vector], Vector | None]


class BreakEven(NamedTuple):
    """Today's blend stays the cheapest as long as a fat costs between `low` and `high` (per kilo); None where nothing ends it."""

    place: int
    low: float | None
    high: float | None


def break_even(swept: Swept, fats: int) -> tuple[BreakEven, ...]:
    """The break-even prices of every fat: of those in today's blend both, of the others that from which on they come in.

    Where fats are counted each price is a row of searches, so only those of the fats in the blend are told, upwards.

    Args:
        swept: the programme.
        fats: how many of its first columns are fats.
    """
    ask = _asker(swept)
    out = []
    for place in range(fats):
        price = float(swept.money[place])
        is_in = swept.kept[place] > UNUSED
        if not swept.column_high[place] > 0.0 or price <= 0.0 or (swept.is_counted and not is_in):
            continue
        high = _end(swept, ask, place, price * DEAREST) if is_in else None
        low = None if swept.is_counted else _end(swept, ask, place, 0.0)
        out.append(BreakEven(place, low, high))
    return tuple(out)


def _asker(swept: Swept) -> Asked:
    """What finds the cheapest blend at some costs (n)."""
    if swept.is_counted:

        def search(money: Vector) -> Vector | None:
            live = Live(swept.programme(money), Work())
            live.suggest(swept.kept)
            start = float(money @ swept.kept) / float(swept.cured @ swept.kept)
            try:
                found = least_ratio(live, start)
            except Undecided:
                return None
            return None if found is None or found.is_limited else found.point

        return search
    live = Live(swept.programme())

    def solve(money: Vector) -> Vector | None:
        ratio = float(money @ swept.kept) / float(swept.cured @ swept.kept)
        best = None
        for _ in range(MOST_ROUNDS):
            outcome = live.minimise(money - ratio * swept.cured)
            if not outcome.feasible:
                return None
            reached = float(money @ outcome.point) / float(swept.cured @ outcome.point)
            if reached >= ratio * (1.0 - 1e-13):
                return outcome.point if best is None else best
            ratio, best = reached, outcome.point
        return best

    return solve


def _end(swept: Swept, ask: Asked, place: int, far: float) -> float | None:
    """The price of a fat at which today's blend is no longer the cheapest, on the way to a far one; None where it never is."""
    price = far
    for _ in range(MOST_ROUNDS):
        money = swept.money.copy()
        money[place] = price
        other = ask(money)
        if other is None:
            return None
        kept, cheaper = _line(swept, swept.kept, place), _line(swept, other, place)
        gain = (kept[0] + kept[1] * price) - (cheaper[0] + cheaper[1] * price)
        if gain <= SAME * abs(kept[0] + kept[1] * price):
            return None if price == far else price
        slope = kept[1] - cheaper[1]
        today = float(swept.money[place])
        nearer = price - gain / slope if slope else today
        if (nearer - today) * (far - today) <= 0.0:
            return today
        if abs(nearer - price) <= SAME * today:
            return nearer
        price = nearer
    return price


def _line(swept: Swept, point: Vector, place: int) -> tuple[float, float]:
    """The cost per kilo of a blend along the price of one fat: what the rest costs, and what each unit of price adds."""
    weight = float(swept.cured @ point)
    rest = np.delete(swept.money * point, place).sum()
    return float(rest) / weight, float(point[place]) / weight
