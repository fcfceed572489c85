"""What there is of each fat and how more of it can be bought, as values: the stock, tins or loose goods, and orders at a price."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from typing import NamedTuple

from optimiser.problem.buying import Buy
from optimiser.problem.new_tins import is_kept_in_hand
from optimiser.problem.places import Span
from optimiser.problem.shelf import Stocked

SAME = 1e-9  # of a price


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


class InHand(NamedTuple):
    """A lot of a fat that is in stock: its name, kg, and what a kilo of it cost."""

    name: str
    stock_kg: float
    price: float


class Offer(NamedTuple):
    """A fat: kg in stock, what a kilo of that cost, and the ways to order more, of which one is taken at the most.

    Without any, what is in stock is all there is. `called` is what it is called where it is sold; `lots`, of a tin that is
    still to be bought, are those of the same fat that are in hand and are used up before.
    """

    fat: str
    stock_kg: float
    price: float
    orders: tuple[Order, ...] = ()
    span: Span | None = None
    called: str = ""
    lots: tuple[InHand, ...] = ()

    @property
    def tins(self) -> Iterator[Tin]:
        """All that can be bought, at each price that it can have."""
        return (tin for order in self.orders for tin in order.tins)

    @property
    def cheapest(self) -> float:
        """The least that a kilo can be bought for; infinite where none can."""
        return min((tin.per_kg for tin in self.tins), default=math.inf)

    @property
    def dearer_lots(self) -> tuple[InHand, ...]:
        """The lots in hand, where a kilo of one of them cost more than one that is bought: else they go first anyway."""
        dearer = any(lot.price > self.cheapest * (1.0 + SAME) for lot in self.lots)
        return self.lots if dearer else ()


def offers(stocked: Iterable[Stocked], buy: Buy) -> tuple[Offer, ...]:
    """What there is of each fat of a shelf, and how more can be bought; a stock that is not told is none.

    Of a fat with lots in hand each lot is what there is of it, and more is bought as the tin that is still to be bought.
    """
    stocked = tuple(stocked)
    return tuple(
        Offer(
            *(item.fat.name, item.stock_kg or 0.0, item.price),
            orders=() if is_kept_in_hand(item, stocked) else tuple(ways(item, buy)),
            span=item.span,
            called=item.fat.known_as if item.fat.to_buy else item.fat.name,
            lots=in_hand(item, stocked),
        )
        for item in stocked
    )


def in_hand(item: Stocked, stocked: Iterable[Stocked]) -> tuple[InHand, ...]:
    """The lots of the same fat that are there, of a tin that is still to be bought."""
    return tuple(
        InHand(one.fat.name, one.stock_kg, one.price)
        for one in stocked
        if item.fat.to_buy and one.fat.known_as == item.fat.known_as and one is not item
        if one.stock_kg and math.isfinite(one.stock_kg)  # of one without an end there is no using up
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
