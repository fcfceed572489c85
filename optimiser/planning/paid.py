"""What the kilos of each bar of a plan cost, for its goals on cost: whether they come out of the stock, or of which tin.

A fat in stock and in tins of several prices has no one price before the plan is known. So each bar with a goal on cost has columns
of its own for what it draws of each tin, no more in all than is drawn of that tin, and its goal counts those: linear as they
stand, and no plan is lost, since every bar could draw of every tin in the parts in which all bars together do.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from typing import NamedTuple

import numpy as np

from optimiser.maths.arrays import Vector
from optimiser.model.rows import Row
from optimiser.planning.blocks import Block
from optimiser.planning.building import on_cost
from optimiser.planning.offers import Offer
from optimiser.planning.purchases import Bought, BuyingRow, Purchases
from optimiser.problem.buying import Taken

SAME = 1e-9  # of a price
CRUMB = 1e-7  # kg or tins


class Draw(NamedTuple):
    """What a bar draws of a fat that has no one price: its bar, its fat, its column, and what a kilo of the stock costs.

    `beyond` is by how much a kilo of it counts less in the bar's own rows; `out_of` are the columns of what it draws of each tin, with
    what a kilo of that costs.
    """

    bar: int
    fat: str
    column: int
    price: float
    beyond: float
    out_of: tuple[tuple[int, float], ...]

    def paid(self, point: Vector) -> float:
        """The money for the kilos of a plan."""
        tins = sum((per_kg - self.price) * float(point[column]) for column, per_kg in self.out_of)
        return self.price * float(point[self.column]) + tins


def has_goal_on_cost(block: Block) -> bool:
    """Whether a bar has a goal on its cost, or a preference."""
    return any(True for _ in on_cost(block.member.programme.rows))


def with_own_draws(
    blocks: Sequence[Block], offers: Sequence[Offer], bought: Purchases
) -> tuple[Purchases, tuple[Draw, ...]]:
    """The purchases with what each bar that has a goal on its cost draws of each tin.

    Args:
        blocks: the bars.
        offers: what there is of each fat.
        bought: the purchases for them, with columns of what is drawn.
    """
    columns, rows, draws = list(bought.columns), list(bought.rows), list[Draw]()
    bars = [(place, block) for place, block in enumerate(blocks) if has_goal_on_cost(block)]
    for offer in offers:
        tins = [
            (bought.first + place, one)
            for place, one in enumerate(bought.columns)
            if one.fat == offer.fat and one.kind == "drawn" and one.tin is not None
        ]
        if not tins or not is_of_several_prices(offer, [one for _, one in tins]):
            continue
        own = []
        for place, block in bars:
            column = block.first + block.columns.index[offer.fat]
            base = block.columns.stocked[block.columns.index[offer.fat]].price
            out_of = []
            for _, one in tins:
                columns.append(Bought(offer.fat, "own", one.tin, one.upper))
                out_of.append((bought.first + len(columns) - 1, one.tin.per_kg if one.tin else 0.0))
            own.append(Draw(place, offer.fat, column, offer.price, offer.price - base, tuple(out_of)))
        draws += own
        rows += list(own_rows(offer, own, [column for column, _ in tins]))
    return bought._replace(columns=tuple(columns), rows=tuple(rows)), tuple(draws)


def is_of_several_prices(offer: Offer, tins: Sequence[Bought]) -> bool:
    """Whether what is used of a fat may have cost one price or another."""
    prices = [one.tin.per_kg for one in tins if one.tin is not None] + [offer.price] * (offer.stock_kg > 0.0)
    return max(prices) > min(prices) * (1.0 + SAME)


def own_rows(offer: Offer, own: Sequence[Draw], tins: Sequence[int]) -> Iterator[BuyingRow]:
    """That no bar draws more of tins than it uses, and all together no more of a tin, or of the stock, than there is."""
    stock: dict[int, float] = {}
    for draw in own:
        uses = {**{column: -1.0 for column, _ in draw.out_of}, draw.column: 1.0}
        yield BuyingRow(offer.fat, "own", uses, 0.0, math.inf)
        stock |= uses
    if math.isfinite(offer.stock_kg):
        yield BuyingRow(offer.fat, "own of stock", stock, -math.inf, offer.stock_kg)
    for number, tin in enumerate(tins):
        drawn = {draw.out_of[number][0]: 1.0 for draw in own}
        yield BuyingRow(offer.fat, "own of tins", {**drawn, tin: -1.0}, -math.inf, 0.0)


def at_own_draws(row: Row, draws: Sequence[Draw], bar: int) -> Row:
    """A row of a bar on its cost, which counts what its kilos cost where they are drawn; any other row as it is."""
    own = [draw for draw in draws if draw.bar == bar]
    if row.figure != "cost" or not own:
        return row
    width = 1 + max(column for draw in own for column, _ in draw.out_of)
    top = np.pad(row.top, (0, width - len(row.top)))
    for draw in own:
        top[draw.column] += draw.beyond
        for column, per_kg in draw.out_of:
            top[column] += per_kg - draw.price
    bottom = None if row.bottom is None else np.pad(row.bottom, (0, width - len(row.bottom)))
    return row._replace(top=top, bottom=bottom)


def taken_in(bought: Purchases, point: Vector) -> tuple[Taken, ...] | None:
    """What a plan buys; None where only what is used counts, and the tins follow from that."""
    tins = [
        (one, float(point[place]))
        for place, one in enumerate(bought.columns, bought.first)
        if one.kind in ("count", "mass") and one.tin is not None
    ]
    if not tins:
        return None
    return tuple(
        Taken(one.fat, one.tin.size_kg, one.tin.per_kg, float(round(number)) if one.is_whole else number)
        for one, number in tins
        if one.tin is not None and number > CRUMB
    )


def paid_apart(
    draws: Sequence[Draw], point: Vector, used: Mapping[str, Sequence[float]]
) -> dict[str, dict[int, float]]:
    """By fat and bar, what is paid for what the bar draws (money), where it draws any."""
    out: dict[str, dict[int, float]] = {}
    for draw in draws:
        if used[draw.fat][draw.bar] > CRUMB:
            out.setdefault(draw.fat, {})[draw.bar] = draw.paid(point)
    return out
