"""Purchases as columns and rows beside those of one bar or of several, all in kilograms.

For each fat: what all bars use of it is no more than what is in stock and what is bought. Packs are whole columns; an order
with a least weight, or at a price of its own, has a 0/1 column. What is used out of what was bought has columns
too, where what is left counts for something: the objective is the cash, less the stated share of what is left.

    least  sum (1 - s) P y + s (p q + sum (c_t - p) d_t)

with s the share at which what is left counts, P the price of a tin, y how many are bought, q the kilos used, p what a kilo in
stock cost, c_t what a kilo out of a tin cost and d_t the kilos used out of such tins. Stock counts like what is bought: what
is not used of it is left too. At s = 1 that is what the fats used cost, and no tin costs anything for itself: then
nothing need be whole, every kilo is the cheapest that there is, and the tins follow when the blend is known (`orders`).
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import NamedTuple

import numpy as np

from optimiser.planning.offers import Offer, Order, Tin

SPARE = 1e-9  # of a price: what makes it no lower than another


class Bought(NamedTuple):
    """A column: so many tins ("count", whole; of loose goods "mass", kg), kg used out of them ("drawn"), an order placed ("on").

    `cost` is its part of the objective, money for one unit of it.
    """

    fat: str
    kind: str
    tin: Tin | None
    upper: float
    cost: float = 0.0

    @property
    def is_whole(self) -> bool:
        """Whether it must be a whole number."""
        return self.kind in ("count", "on")


class BuyingRow(NamedTuple):
    """A row over columns by their places: low <= sum <= high, in kg. `kind` "stock" is use against stock and what is bought."""

    fat: str
    kind: str
    entries: Mapping[int, float]
    low: float
    high: float


class Purchases(NamedTuple):
    """The columns in order from `first` on, the rows, and what a kilo that is used counts in the objective, by fat.

    A fat that cannot be bought has its row "stock" alone, which is the maker's own limit; with others that row is
    no wish: something can always be bought.
    """

    first: int
    columns: tuple[Bought, ...]
    rows: tuple[BuyingRow, ...]
    per_kg_used: Mapping[str, float]

    @property
    def costs(self) -> list[float]:
        """Money for each of the columns."""
        return [column.cost for column in self.columns]


def purchases(
    offers: Sequence[Offer],
    use: Mapping[str, Mapping[int, float]],
    *,
    first: int,
    most_kg: float,
    left_counts: float,
    tells_cost: bool = False,
) -> Purchases:
    """The columns and rows that say what is bought for one bar or several over one shelf.

    Args:
        offers: what there is of each fat and how more of it can be bought.
        use: by fat, the kg used of it for one unit of each column (by its place) that uses it, of whichever bar.
        first: the place of the first column that is made here.
        most_kg: more than this of one fat cannot be used.
        left_counts: the share (0 to 1) at which what is left counts.
        tells_cost: whether there are columns of what is drawn even where they do not count, for rows on what is used.
    """
    laid = _Laid(first, tells_cost=tells_cost)
    for offer in offers:
        used = use.get(offer.fat, {})
        if used:
            lots = lots_first(offer, use)
            _lay(laid, offer, used, most_kg, left_counts, lots)
    prices = {offer.fat: left_counts * offer.price for offer in offers}
    return Purchases(first, tuple(laid.columns), tuple(laid.rows), prices)


@dataclass
class _Laid:
    """What has been laid so far."""

    first: int
    tells_cost: bool = False
    columns: list[Bought] = field(default_factory=list)
    rows: list[BuyingRow] = field(default_factory=list)

    def column(self, column: Bought) -> int:
        """Lay a column, and say where."""
        self.columns.append(column)
        return self.first + len(self.columns) - 1

    def row(self, fat: str, kind: str, entries: Mapping[int, float], low: float, high: float) -> None:
        """Lay a row."""
        self.rows.append(BuyingRow(fat, kind, entries, low, high))


def lots_first(offer: Offer, use: Mapping[str, Mapping[int, float]]) -> tuple[Mapping[int, float], float]:
    """What is used of dearer lots in hand, which go before a tin that is bought, and how many kilos of them there are."""
    used = {place: kg for lot in offer.dearer_lots for place, kg in use.get(lot.name, {}).items()}
    return used, sum(lot.stock_kg for lot in offer.dearer_lots)


def _lay(  # what a fat is, and what it is laid beside
    laid: _Laid,
    offer: Offer,
    used: Mapping[int, float],
    most: float,
    left_counts: float,
    lots: tuple[Mapping[int, float], float],
) -> None:
    """One fat: its orders, what is drawn from them, and the row that holds use to stock and purchases.

    `lots`: what is used of the lots that go first, and how many kilos of them there are.
    """
    short = max(0.0, most - offer.stock_kg)
    draws = left_counts > 0.0 or laid.tells_cost
    pays = draws and offer.cheapest < offer.price * (1.0 - SPARE)  # a kilo bought costs less than one in stock
    after_lots = draws and bool(lots[0])
    first = (pays and offer.stock_kg > 0.0) or after_lots
    had: dict[int, float] = {}  # kg by column, of what can be used beyond the stock
    switches: list[int] = []
    if left_counts >= 1.0:
        if offer.orders and short:
            tin = min(offer.tins, key=lambda one: one.per_kg)
            had[laid.column(Bought(offer.fat, "drawn", tin, short, tin.per_kg - offer.price))] = 1.0
        if first and had:
            on = laid.column(Bought(offer.fat, "on", None, 1.0))
            switches.append(on)
            laid.row(offer.fat, "order", {**had, on: -short}, -math.inf, 0.0)
    elif short:
        for order in offer.orders:
            needs_switch = first or len(offer.orders) > 1 or order.least_kg > 0.0
            switches += _order(laid, offer, order, (short, left_counts), had, needs_switch=needs_switch)
    if len(switches) > 1:
        laid.row(offer.fat, "one order", dict.fromkeys(switches, 1.0), -math.inf, 1.0)
    bought = {place: -kg for place, kg in had.items()}
    laid.row(offer.fat, "stock", {**used, **bought}, -math.inf, offer.stock_kg)
    if pays and had:  # no more is drawn than used, and nothing is bought before the stock is used up
        after = {**used, **bought, **dict.fromkeys(switches, -offer.stock_kg)}
        laid.row(offer.fat, "stock first", after, 0.0, math.inf)
    if after_lots and had:
        laid.row(offer.fat, "lots first", {**lots[0], **dict.fromkeys(switches, -lots[1])}, 0.0, math.inf)


def _order(
    laid: _Laid, offer: Offer, order: Order, short_at: tuple[float, float], had: dict[int, float], *, needs_switch: bool
) -> Iterator[int]:
    """One way to order a fat: how many tins, and what is drawn from them; the place of its 0/1 column where it has one.

    As much may be bought as is short, or as the order must come to at the least, and a tin more. `had` gains what it gives.
    """
    short, left_counts = short_at
    sizes = [tin.size_kg for tin in order.tins]
    most = min(order.most_kg, max(short, order.least_kg) + max(sizes))
    kilos: dict[int, float] = {}
    for tin in order.tins:
        unit = 1.0 if tin.is_loose else tin.size_kg
        kind, upper = ("mass", most) if tin.is_loose else ("count", float(np.floor(most / unit + SPARE)))
        place = laid.column(Bought(offer.fat, kind, tin, upper, (1.0 - left_counts) * tin.price))
        kilos[place] = unit
        if left_counts == 0.0 and not laid.tells_cost:
            had[place] = unit
            continue
        drawn = laid.column(Bought(offer.fat, "drawn", tin, short, left_counts * (tin.per_kg - offer.price)))
        had[drawn] = 1.0
        laid.row(offer.fat, "tins", {drawn: 1.0, place: -unit}, -math.inf, 0.0)
    if needs_switch:
        on = laid.column(Bought(offer.fat, "on", None, 1.0))
        laid.row(offer.fat, "order", {**kilos, on: -most}, -math.inf, 0.0)
        if order.least_kg > 0.0:
            laid.row(offer.fat, "least order", {**kilos, on: -order.least_kg}, 0.0, math.inf)
        yield on
