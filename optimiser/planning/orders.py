"""The buying list, once it is known how much of each fat is used: which tins, what they cost, what is used and what is left.

Where the uses are known the fats are ordered one by one, by a small branch and bound over the tins of each way to order:
cheapest kilo first, and nothing is looked at that even at the cheapest kilo could not be better.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import NamedTuple

from optimiser.planning.offers import Offer, Order, Tin
from optimiser.problem.buying import Taken

ENOUGH = 1e-7  # kg: a use beyond what there is by so little is none
NO_BETTER = 1e-9  # money
MOST_STEPS = 100_000  # looked at for one order; packs of a few sizes take dozens


class Line(NamedTuple):
    """A line of the buying list: so many of a tin (kilos where it is loose) and what they cost together; `called` as it is sold."""

    fat: str
    tin: Tin
    number: float
    cost: float
    called: str = ""

    @property
    def kilos(self) -> float:
        """How much that is."""
        return self.number if self.tin.is_loose else self.number * self.tin.size_kg


class Bill(NamedTuple):
    """What is bought of one fat for a use, and what that comes to, kg and money.

    `cash` is paid for the lines; `cost_used` is what the fat used cost, the stock first and then out of the cheapest tins;
    `value_left` is what remains of the tins bought, at what it cost.
    """

    fat: str
    used_kg: float
    from_stock_kg: float
    lines: tuple[Line, ...]
    cash: float
    cost_used: float
    value_left: float

    @property
    def bought_kg(self) -> float:
        """How much is bought."""
        return sum(line.kilos for line in self.lines)


class ShortOf(ValueError):
    """More is used of a fat than there is and can be bought."""


def bills(offers: Iterable[Offer], used_kg: Mapping[str, float], left_counts: float) -> tuple[Bill, ...]:
    """The bill of each fat that is used.

    Args:
        offers: what there is, and the ways to order more.
        used_kg: by fat, over all bars.
        left_counts: the share (0 to 1) at which what is left counts.

    Raises:
        ShortOf: there is not enough of one, and no way to order more.
    """
    return tuple(bill(offer, used_kg[offer.fat], left_counts) for offer in offers if used_kg.get(offer.fat, 0.0) > 0.0)


def bill(offer: Offer, used_kg: float, left_counts: float) -> Bill:
    """What is bought of one fat: the least of cash less the stated share of what is left, and of equals the least cash.

    Raises:
        ShortOf: there is not enough, and no way to order more.
    """
    short = used_kg - offer.stock_kg
    if short <= ENOUGH:
        stock = min(used_kg, offer.stock_kg)
        return Bill(offer.fat, used_kg, stock, (), 0.0, used_kg * offer.price, 0.0)
    found = [
        told(offer, used_kg, tuple(zip(order.tins, counts, strict=True)))
        for order in offer.orders
        for counts in counted(order, short, left_counts)
    ]
    if not found:
        raise ShortOf(offer.fat)
    return min(found, key=lambda one: (round(weighed(one, left_counts), 9), round(one.cash, 9), len(one.lines)))


def bill_of_taken(offer: Offer, used_kg: float, taken: Sequence[Taken], left_counts: float) -> Bill:
    """The bill of one fat of which it is settled what is bought: loose goods by as much as is used, in an order of that price.

    Raises:
        ShortOf: there is not enough after all, and no way to order more.
    """
    short = used_kg - offer.stock_kg
    loose = [one for one in taken if not one.size_kg]
    counts = [(Tin(one.size_kg, one.per_kg), one.number) for one in taken if one.size_kg]
    counts += [(Tin(0.0, one.per_kg), max(short, least_of(offer, one))) for one in loose]
    if not counts or sum((tin.size_kg or 1.0) * count for tin, count in counts) < short - ENOUGH:
        return bill(offer, used_kg, left_counts)
    return told(offer, used_kg, counts)


def least_of(offer: Offer, taken: Taken) -> float:
    """The least that an order of loose goods at a price must come to, kg."""
    fitting = [
        order.least_kg
        for order in offer.orders
        if any(tin.is_loose and abs(tin.per_kg - taken.per_kg) <= NO_BETTER for tin in order.tins)
        and order.least_kg <= taken.kilos + ENOUGH
    ]
    return max(fitting, default=0.0)


def weighed(one: Bill, left_counts: float) -> float:
    """What a bill comes to, of what is bought: its cash less the stated share of what is left."""
    return one.cash - left_counts * one.value_left


def told(offer: Offer, used_kg: float, counts: Sequence[tuple[Tin, float]]) -> Bill:
    """The bill of so many tins: the stock is used first, then the cheapest kilos."""
    lines = tuple(
        Line(offer.fat, tin, count, count * tin.price, offer.called or offer.fat)
        for tin, count in counts
        if count > 0.0
    )
    stock = min(used_kg, offer.stock_kg)
    rest, used = used_kg - stock, stock * offer.price
    for line in sorted(lines, key=lambda line: line.tin.per_kg):
        out = min(rest, line.kilos)
        rest -= out
        used += out * line.tin.per_kg
    cash = sum(line.cost for line in lines)
    return Bill(offer.fat, used_kg, stock, lines, cash, used, max(0.0, cash - (used - stock * offer.price)))


def counted(order: Order, short: float, left_counts: float) -> Iterator[tuple[float, ...]]:
    """How many of each tin of an order, at its best; nothing where so much cannot be had in one order.

    Where only what is used counts, the tins of the cheapest kilo alone are looked at.
    """
    target = max(short, order.least_kg)
    if target > order.most_kg + ENOUGH:
        return
    if order.tins[0].is_loose:
        yield (target,)
        return
    cheapest = min(tin.per_kg for tin in order.tins)
    alone = left_counts >= 1.0
    tins = [tin for tin in order.tins if not alone or tin.per_kg <= cheapest + NO_BETTER]
    best = _Search(sorted(tins, key=lambda tin: (tin.per_kg, -tin.size_kg)), short, 0.0 if alone else left_counts)
    chosen = best.counts(target)
    yield tuple(float(chosen.get(tin, 0)) for tin in order.tins)


class _Search:
    """The best counts of tins, each kind once, for at least a target; what is left counts at a share."""

    def __init__(self, tins: Sequence[Tin], short: float, left_counts: float) -> None:
        self.tins = tins
        self.short = short
        self.left_counts = left_counts
        self.best, self.chosen, self.steps = math.inf, dict[Tin, int](), 0

    def counts(self, target: float) -> dict[Tin, int]:
        """How many of each."""
        self._try(0, target, 0.0, {})
        return self.chosen

    def _try(self, place: int, rest: float, cash: float, so_far: Mapping[Tin, int]) -> None:
        """All that can still be better with the tins from a place on, of which so much is still wanted."""
        self.steps += 1
        if rest <= ENOUGH:
            worth = self._worth(cash, so_far)
            if worth < self.best - NO_BETTER:
                self.best, self.chosen = worth, dict(so_far)
            return
        if place == len(self.tins) or self.steps > MOST_STEPS:
            return
        tin = self.tins[place]
        ahead = min(one.per_kg for one in self.tins[place:])
        least = (1.0 - self.left_counts) * (cash + rest * ahead)
        if least + self.left_counts * self.short * self.tins[0].per_kg >= self.best - NO_BETTER:
            return
        most = math.ceil((rest - ENOUGH) / tin.size_kg)
        for count in range(most, -1, -1) if place + 1 < len(self.tins) else (most,):
            self._try(place + 1, rest - count * tin.size_kg, cash + count * tin.price, {**so_far, tin: count})

    def _worth(self, cash: float, chosen: Mapping[Tin, int]) -> float:
        rest, used = self.short, 0.0
        for tin in self.tins:
            out = min(rest, chosen.get(tin, 0) * tin.size_kg)
            rest -= out
            used += out * tin.per_kg
        return cash - self.left_counts * (cash - used)
