"""What there is of each fat and how more of it can be bought, as values: the stock, tins or loose goods, and orders at a price."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from typing import NamedTuple

from optimiser.problem.buying import Buy
from optimiser.problem.places import Span
from optimiser.problem.shelf import Stocked


class Tin(NamedTuple):
    """Something that can be bought: a pack of `size_kg`, or loose goods by the kilo where that is 0; money per kg."""

    size_kg: float
    per_kg: float

    @property
    def is_loose(self) -> bool:
        """Whether any mass can be had."""
        return self.size_kg == 0.0

    @property
    def price(self) -> float:
        """Money for one: a whole pack, or a kilo."""
        return self.per_kg if self.is_loose else self.per_kg * self.size_kg


class Order(NamedTuple):
    """A way to order a fat: from `least_kg` of it altogether to `most_kg`, all of it in these tins at these prices."""

    least_kg: float
    most_kg: float
    tins: tuple[Tin, ...]


class Offer(NamedTuple):
    """A fat: kg in stock, what a kilo of that cost, and the ways to order more, of which one is taken at the most.

    Without any, what is in stock is all there is.
    """

    fat: str
    stock_kg: float
    price: float
    orders: tuple[Order, ...] = ()
    span: Span | None = None

    @property
    def tins(self) -> Iterator[Tin]:
        """All that can be bought, at each price that it can have."""
        return (tin for order in self.orders for tin in order.tins)

    @property
    def cheapest(self) -> float:
        """The least that a kilo can be bought for; infinite where none can."""
        return min((tin.per_kg for tin in self.tins), default=math.inf)


def offers(stocked: Iterable[Stocked], buy: Buy) -> tuple[Offer, ...]:
    """What there is of each fat of a shelf, and how more can be bought; a stock that is not told is none."""
    return tuple(
        Offer(item.fat.name, item.stock_kg or 0.0, item.price, tuple(ways(item, buy)), item.span) for item in stocked
    )


def ways(item: Stocked, buy: Buy) -> Iterator[Order]:
    """The ways to order a fat: at its own prices, and from each price break on at that of the break.

    A break counts for the whole order. Of loose goods each price ends where the next begins; packs may be had at their
    own prices in an order of any size.
    """
    if buy == Buy.NONE or (buy == Buy.PACKS and not item.packs):
        return
    least, breaks = item.minimum_order_kg, sorted(item.breaks)
    if buy == Buy.PACKS:
        yield Order(least, math.inf, tuple(Tin(pack.size_kg, pack.price / pack.size_kg) for pack in item.packs))
        for one in breaks:
            yield Order(max(least, one.from_kg), math.inf, tuple(Tin(pack.size_kg, one.price) for pack in item.packs))
        return
    steps = [(0.0, item.price), *breaks]
    ends = [*(start for start, _ in steps[1:]), math.inf]
    for (start, price), end in zip(steps, ends, strict=True):
        if end >= least:
            yield Order(max(least, start), end, (Tin(0.0, price),))
