"""The programme of one bar with what may be bought for it: stock, and kilos bought at the cheapest price there is.

Here only what is used costs anything, so no pack need be whole: what is drawn from what was bought is a column, and the packs
follow from the blend (`orders`). What is least to be paid is searched for apart (`kilos`), over the same rows; then what
is bought is settled and stands here as an end (`Buying.taken`).

Basis: one kilogram of fats, as everywhere in `model`; a mass of s kg in stock is s / F of that, with F the kilos of
fats of the batch, which itself may depend on the blend: 1 / F is a vector over the columns.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace

import numpy as np

from optimiser.maths.arrays import Vector
from optimiser.measures.sides import Side
from optimiser.model import programme as plain
from optimiser.model.columns import BesideStock, Columns
from optimiser.model.programme import Programme, with_rows
from optimiser.model.rows import Row, of_this_batch, stock_row
from optimiser.planning.offers import Offer, offers
from optimiser.problem.buying import Buy, Buying, Taken
from optimiser.problem.goals import GoalSheet
from optimiser.problem.new_tins import is_kept_in_hand, with_new_tins
from optimiser.problem.places import in_file
from optimiser.problem.shelf import Shelf
from optimiser.problem.wishes import Said, Section, WishId

WHY = "what is used is in stock or is bought"
SAME = 1e-9  # of a price
HAIR = 1e-8  # kg: room for what the search for the least cash leaves of its own tolerance
NO_PACKS = "no packs to buy"
ONLY = {Buy.NONE: "only what is in stock", Buy.PACKS: "only what is in stock or sold in packs"}


def build(sheet: GoalSheet, shelf: Shelf) -> Programme:
    """The programme that the goals ask for over a shelf, with what may be bought where the goals say anything of that.

    Args:
        sheet: what the maker wrote.
        shelf: what the maker has.
    """
    if sheet.buying is None:
        return plain.build(sheet, shelf)
    shelf = with_new_tins(shelf, sheet.buying)
    made = with_buying(plain.build(sheet, priced(shelf, sheet.buying)), sheet.buying)
    return plain.with_older_first(made, sheet.older_first) if sheet.older_first else made


def priced(shelf: Shelf, buying: Buying) -> Shelf:
    """The shelf with what has to be bought at the cheapest price that it can be bought for."""
    for known, told, made in LAST:  # columns are known by their shelf, so that the same one is handed out again
        if known is shelf and told == buying:
            return made
    fats = tuple(
        item._replace(price=cheapest(offer, buying.taken)) if not offer.stock_kg else item
        for item, offer in zip(shelf.fats, offers(shelf.fats, buying.buy), strict=True)
    )
    LAST[:] = [(shelf, buying, shelf._replace(fats=fats)), *LAST[:3]]
    return LAST[0][2]


LAST: list[tuple[Shelf, Buying, Shelf]] = []
"""Shelves priced last."""


def cheapest(offer: Offer, taken: tuple[Taken, ...] | None) -> float:
    """What a kilo that is not in stock costs at the least; the shelf's own price where none can be had."""
    own = [] if taken is None else [one.per_kg for one in taken if one.fat == offer.fat]
    least = min(own, default=offer.cheapest)
    return least if math.isfinite(least) else offer.price


def with_buying(programme: Programme, buying: Buying) -> Programme:
    """A programme of one bar without stocks, with its stocks and with what may be bought."""
    columns = programme.columns
    laid = Laid(columns, len(programme.money), frozenset(row.wish.key for row in programme.rows))
    none_to_have = []
    for place, offer in enumerate(offers(columns.stocked, buying.buy)):
        if buying.taken is not None:
            out_of_taken(laid, place, offer, [one for one in buying.taken if one.fat == offer.fat])
        elif offer.orders:
            stock_before_bought(laid, place, offer)
        elif not offer.stock_kg and not is_kept_in_hand(columns.stocked[place], columns.stocked):
            none_to_have.append(place)
        elif math.isfinite(offer.stock_kg):
            other_tin = is_kept_in_hand(columns.stocked[place], columns.stocked)
            remark = NO_PACKS if buying.buy == Buy.PACKS and not other_tin else ""
            laid.rows.append(stock_row(columns, place, offer.stock_kg, remark))
    if none_to_have:
        laid.rows.append(not_to_be_had(columns, none_to_have, buying))
    return extended(programme, laid)


@dataclass
class Laid:
    """Columns and rows beside those of a bar; `costs` are money for a kilo of each column, `named` what its wishes are about."""

    columns: Columns
    first: int
    named: frozenset[str] = frozenset()
    names: list[BesideStock] = field(default_factory=list)
    costs: list[float] = field(default_factory=list)
    highs: list[float] = field(default_factory=list)
    wholes: list[bool] = field(default_factory=list)
    rows: list[Row] = field(default_factory=list)

    def column(self, name: BesideStock, cost: float, *, whole: bool = False) -> int:
        """A column more: a share of the fats that is drawn from what was bought, or 0/1; and its place."""
        self.names.append(name)
        self.costs.append(cost)
        self.highs.append(1.0)
        self.wholes.append(whole)
        return self.first + len(self.costs) - 1

    def vector(self, entries: Mapping[int, float]) -> Vector:
        """A vector over all columns so far."""
        out = np.zeros(self.first + len(self.costs))
        out[list(entries)] = list(entries.values())
        return out

    def row(self, fat: str, what: str, side: Side, limit: float, top: Vector, bottom: Vector | None = None) -> None:
        """A row that is no wish."""
        wish = WishId(Section.PHYSICS, fat, side, what)
        wide = None if bottom is None else np.pad(bottom, (0, len(top) - len(bottom)))
        self.rows.append(Row(wish, fat, Said(f"{fat}: {WHY}"), side, limit, "kg", 0.5, WHY, top, wide))


def stock_before_bought(laid: Laid, place: int, offer: Offer) -> None:
    """A fat of which more can be bought: kilos beyond the stock are drawn from what was bought, at its cheapest price.

    Where a kilo that is bought costs less than one in stock, a 0/1 column has the stock used up first.
    """
    lots_before_bought(laid, place, offer)
    extra = offer.cheapest - offer.price
    batch_kg, one = of_this_batch(laid.columns)
    enough = laid.columns.batch.fats_kg is not None and offer.stock_kg >= batch_kg
    if not offer.stock_kg or abs(extra) <= SAME * offer.price or enough:
        return
    drawn = laid.column(BesideStock("bought", offer.fat), extra)
    laid.row(offer.fat, "stock", Side.AT_MOST, offer.stock_kg, laid.vector({place: 1.0, drawn: -1.0}), one)
    if extra >= 0.0:
        return
    on = laid.column(BesideStock("order", offer.fat), 0.0, whole=True)
    laid.row(offer.fat, "order", Side.AT_MOST, 0.0, laid.vector({drawn: 1.0, on: -1.0}))
    most = offer.stock_kg * most_of(laid.columns, one)
    first = laid.vector({place: 1.0, drawn: -1.0, on: -most})
    first[: len(one)] -= offer.stock_kg * one
    laid.row(offer.fat, "stock first", Side.AT_LEAST, -most, first)


def lots_before_bought(laid: Laid, place: int, offer: Offer) -> None:
    """A tin of a fat of which dearer lots are in hand: a 0/1 column has them used up first, but for those the maker limits by name."""
    lots = [lot for lot in offer.dearer_lots if lot.name == offer.called or lot.name not in laid.named]
    if not lots:
        return
    one, kilos = of_this_batch(laid.columns)[1], sum(lot.stock_kg for lot in lots)
    on = laid.column(BesideStock("order", offer.fat), 0.0, whole=True)
    laid.row(offer.fat, "order", Side.AT_MOST, 0.0, laid.vector({place: 1.0, on: -1.0}))
    most = kilos * most_of(laid.columns, one)
    first = laid.vector({on: -most} | {laid.columns.index[lot.name]: 1.0 for lot in lots})
    first[: len(one)] -= kilos * one
    laid.row(offer.fat, "lots first", Side.AT_LEAST, -most, first)


def most_of(columns: Columns, vector: Vector) -> float:
    """The most that a figure of a blend can come to: the fats add up to one, the rest has its ends."""
    n = columns.count
    ends = np.array([column.upper for column in columns.all])
    return float(vector[:n].max() + np.maximum(vector[n:], 0.0) @ ends[n:])


def out_of_taken(laid: Laid, place: int, offer: Offer, taken: Sequence[Taken]) -> None:
    """A fat of which so much is bought for certain: what is used is in stock, or drawn from that."""
    one = of_this_batch(laid.columns)[1]
    drawn = (
        [laid.column(BesideStock("bought", offer.fat), item.per_kg - offer.price) for item in taken]
        if offer.stock_kg or len(taken) > 1
        else []
    )
    for column, item in zip(drawn, taken, strict=False):
        laid.row(
            offer.fat, f"bought {item.size_kg:g} kg", Side.AT_MOST, item.kilos + HAIR, laid.vector({column: 1.0}), one
        )
    if not math.isfinite(offer.stock_kg):
        return
    there = HAIR + offer.stock_kg if drawn else HAIR + offer.stock_kg + sum(item.kilos for item in taken)
    dearer = not drawn or all(item.per_kg >= offer.price * (1.0 - SAME) for item in taken)
    entries = {place: 1.0, **dict.fromkeys(drawn, -1.0)}
    laid.row(offer.fat, "stock", Side.AT_MOST if dearer else Side.EXACTLY, there, laid.vector(entries), one)


def not_to_be_had(columns: Columns, places: Sequence[int], buying: Buying) -> Row:
    """Nothing of the fats that are neither in stock nor can be bought: one wish, since one word in the file asks for it."""
    top = columns.zeros()
    top[list(places)] = 100.0
    wish = WishId(Section.BUY, str(buying.buy), Side.AT_MOST)
    span = None if buying.span is None else in_file(buying.span)
    why = "the maker's goal"
    return Row(wish, str(buying.buy), Said(ONLY[buying.buy]), Side.AT_MOST, 0.0, "%", 5.0, why, top, span=span)


def extended(programme: Programme, laid: Laid) -> Programme:
    """A programme with what was laid; rows on the cost count what is drawn at its own price."""
    more = len(laid.costs)
    none = np.zeros(more)
    money = np.append(programme.money, laid.costs)
    wide = replace(
        programme,
        matrix=np.hstack([programme.matrix, np.zeros((len(programme.matrix), more))]),
        column_low=np.append(programme.column_low, none),
        column_high=np.append(programme.column_high, laid.highs),
        integer=np.append(programme.integer, np.array(laid.wholes, dtype=np.bool_)),
        money=money,
        cured=np.append(programme.cured, none),
        bought=tuple(laid.names),
    )
    return with_rows(costed(wide, money, programme.money) if any(laid.costs) else wide, laid.rows)


def costed(programme: Programme, money: Vector, before: Vector) -> Programme:
    """The programme with the rows on its cost over the purchases too."""
    matrix, rows = programme.matrix.copy(), list(programme.rows)
    for place in on_cost(rows):
        row = rows[place]
        bottom = None if row.bottom is None else np.pad(row.bottom, (0, len(money) - len(row.bottom)))
        rows[place] = row._replace(top=money, bottom=bottom)
        matrix[place, len(before) :] = money[len(before) :]
    return replace(programme, matrix=matrix, rows=tuple(rows))


def on_cost(rows: Sequence[Row]) -> Iterator[int]:
    """Where the rows on the cost stand."""
    return (place for place, row in enumerate(rows) if row.figure == "cost")
