"""Break-even prices: between which two prices of a fat, all others as they are, today's blend stays the cheapest.

Along the price of one fat the cost of every blend is a straight line, and the least of them is concave. So from a price at which
another blend is cheaper, the price at which that one and today's cost the same is nearer, and the steps end at the break-even
price after a few (Newton's method on a concave function of finitely many lines).
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from itertools import product
from typing import NamedTuple

import numpy as np

from optimiser.analysis.swept import Swept
from optimiser.maths.arrays import Vector
from optimiser.model.programme import Programme
from optimiser.solve.optimum import least_ratio
from optimiser.solve.outcomes import SolverFault, Work
from optimiser.solve.solver import Live
from optimiser.solve.switches import with_choice

DEAREST = 10.0  # times today's price: what stays beyond that, stays
MOST_ROUNDS = 40
CLOSE = 1e-13  # relative: the ratio no longer moves
SAME = 1e-9  # relative: blends that cost the same
HAIR = 1e-8  # relative: what the shares of today's blend may be off by tells, at a far price
UNUSED = 1e-6  # of the fats
Asked = Callable[[Vector], Vector | None]


class BreakEven(NamedTuple):
    """Today's blend stays the cheapest as long as a fat costs between `low` and `high` (per kilo); None where nothing ends it.

    `place` is the column of the fat, or of the first of its lots.
    """

    place: int
    low: float | None
    high: float | None


def price_of(swept: Swept, lots: tuple[int, ...]) -> float:
    """What a fat costs per kilo today: of several lots the mean of those in today's blend, else the lowest."""
    if len(lots) == 1:
        return float(swept.money[lots[0]])
    places = list(lots)
    shares = np.maximum(swept.kept[places], 0.0)
    prices = swept.money[places]
    return float(shares @ prices / shares.sum()) if shares.sum() > UNUSED else float(prices.min())


def cheaper_today(swept: Swept) -> Vector | None:
    """The cheapest blend (n) of what is swept at today's prices, where today's own costs more; else None.

    Pinches left out all at once may cost a little, while of what is swept there may be enough of one: then today's blend is
    not the cheapest at any price, and none is its break-even price.
    """
    other = _asker(swept)(swept.money)
    return None if other is None or lead_of(swept, other) <= SAME else other


def lead_of(swept: Swept, blend: Vector) -> float:
    """How much less a blend (n) costs today than today's own (relative)."""
    cost, kept = (float(swept.money @ one) / float(swept.cured @ one) for one in (blend, swept.kept))
    return 1.0 - cost / kept if kept else 0.0


def break_even(
    swept: Swept, fats: int, joined: Sequence[tuple[int, ...]] = (), along: Sequence[tuple[int, ...]] = ()
) -> tuple[BreakEven, ...]:
    """The break-even prices of every fat: of those in today's blend both, of the others that from which on they come in.

    Where fats are counted each price is a row of searches, so only those of the fats in the blend are told, upwards.

    Args:
        swept: the programme.
        fats: how many of its first columns are fats.
        joined: the columns of each fat where some have several lots, whose prices move together.
        along: columns of what more is paid, or less, for what of each fat is bought, whose prices move with it.
    """
    ask = _asker(swept)
    out = []
    every = joined or [(place,) for place in range(fats)]
    for lots, more in zip(every, along or [()] * len(every), strict=True):
        price = price_of(swept, lots)
        is_in = swept.kept[list(lots)].sum() > UNUSED
        if not swept.column_high[list(lots)].max() > 0.0 or price <= 0.0 or (not swept.has_few_choices and not is_in):
            continue
        high = _end(swept, ask, (lots, more), price * DEAREST) if is_in else None
        low = None if not swept.has_few_choices else _end(swept, ask, (lots, more), 0.0)
        out.append(BreakEven(lots[0], low, high))
    return tuple(out)


def _asker(swept: Swept) -> Asked:
    """What finds the cheapest blend at some costs (n)."""
    if not swept.has_few_choices:
        return _searcher(swept)
    models = [Live(one) for one in choices(swept)]

    def solve(money: Vector) -> Vector | None:
        ratio, best = float(money @ swept.kept) / float(swept.cured @ swept.kept), swept.kept
        for live in models:
            for _ in range(MOST_ROUNDS):
                outcome = live.minimise(money - ratio * swept.cured)
                if not outcome.feasible:
                    break
                reached = float(money @ outcome.point) / float(swept.cured @ outcome.point)
                if reached >= ratio * (1.0 - CLOSE):
                    break
                ratio, best = reached, outcome.point
        return best

    return solve


def _searcher(swept: Swept) -> Asked:
    """The same where each question is a search."""

    def search(money: Vector) -> Vector | None:
        live = Live(swept.programme(money), Work())
        live.suggest(swept.kept)
        start = float(money @ swept.kept) / float(swept.cured @ swept.kept)
        try:
            found = least_ratio(live, start)
        except SolverFault:
            return None
        return None if found is None or found.is_limited else found.point

    return search


def choices(swept: Swept) -> Iterator[Programme]:
    """The linear programme of every way to set the 0/1 columns, of which there are few."""
    whole = np.flatnonzero(swept.integer)
    for chosen in product((0.0, 1.0), repeat=len(whole)):
        point = np.zeros(len(swept.money))
        point[whole] = chosen
        yield with_choice(swept.programme(), point)


def _end(swept: Swept, ask: Asked, columns: tuple[tuple[int, ...], tuple[int, ...]], far: float) -> float | None:
    """The price of a fat at which today's blend is no longer the cheapest, on the way to a far one; None where it never is.

    `columns`: those of its lots, and those whose prices move along.
    """
    lots, along = columns
    price, today, places = far, price_of(swept, lots), [*lots, *along]
    each = swept.money[places] / today  # what a column costs beside the fat
    for _ in range(MOST_ROUNDS):
        money = swept.money.copy()
        money[places] = price * each
        other = ask(money)
        if other is None:
            return None
        kept, cheaper = _line(swept, swept.kept, places, each), _line(swept, other, places, each)
        gain = (kept[0] + kept[1] * price) - (cheaper[0] + cheaper[1] * price)
        if gain <= (HAIR if price == far else SAME) * abs(kept[0] + kept[1] * price):
            return None if price == far else price
        slope = kept[1] - cheaper[1]
        nearer = price - gain / slope if slope else today
        if (nearer - today) * (far - today) <= 0.0:
            return today
        if abs(nearer - price) <= SAME * today:
            return nearer
        price = nearer
    return price


def _line(swept: Swept, point: Vector, places: list[int], each: Vector) -> tuple[float, float]:
    """The cost per kilo of a blend along the price of one fat: what the rest costs, and what each unit of price adds."""
    weight = float(swept.cured @ point)
    rest = np.delete(swept.money * point, places).sum()
    return float(rest) / weight, float(each @ point[places]) / weight
