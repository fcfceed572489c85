"""Several bars over one shelf as one programme, so that a scarce fat goes where it saves the most.

A bar by itself is a programme over shares: everything for a kilo of fats, and its cost a ratio. What is drawn from the shelf is
share times fats, which is no linear figure where the fats of a batch depend on the blend. So each bar's columns are put in
kilos of its own batch here, x = F v: every row a.v >= b becomes a.x - b (sum of the fats in x) >= 0 (Charnes & Cooper 1962,
doi:10.1002/nav.3800090303), the size of the batch is a row, and what all bars draw of a fat is a plain sum.

What is minimised is what the plan costs beyond each bar's own cheapest cost per kilo: sum of money - r cured, where r is what a
kilo of that bar costs if it has the shelf to itself. Where a batch is so many bars its cured weight is fixed, and that
is its money but for a constant; where it is so much fat a kilo of bar more or less counts at what it is worth. So
the least that there could be is 0, where nothing is scarce, and each bar is then the very one that it is alone.

Where it is told what may be bought, the purchases of `purchases` stand beside the bars: a fat then costs what is paid for
it, and is limited by what is in stock and bought.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import zip_longest

import numpy as np

from optimiser.maths.arrays import Vector
from optimiser.measures.sides import Side
from optimiser.model.lot_spread import LotSpread
from optimiser.model.programme import Preference, Programme
from optimiser.model.rows import Row
from optimiser.planning.blocks import Block, Member, block_rows, in_kilos, mark, size_of, size_rows
from optimiser.planning.offers import Offer
from optimiser.planning.paid import Draw, at_own_draws, has_goal_on_cost, with_own_draws
from optimiser.planning.purchases import Purchases, purchases
from optimiser.problem.buying import ALL
from optimiser.problem.wishes import Origin, Said, Section, Whose, WishId


@dataclass(frozen=True)
class Together:
    """All bars of a plan as one programme, and where each of them stands in it.

    `draws` are what bars with a goal on cost draw of fats that have no one price.
    """

    programme: Programme
    blocks: tuple[Block, ...]
    purchases: Purchases | None = None
    draws: tuple[Draw, ...] = ()

    @cached_property
    def bars_of(self) -> Mapping[WishId, int]:
        """The bar of each wish that is one bar's own, by its place in the plan."""
        return {
            row.wish: place
            for row in self.programme.rows
            for place, block in enumerate(self.blocks)
            if row.wish.within.startswith(mark(block.member.name))
        }

    def drawn(self, point: Vector) -> dict[str, list[float]]:
        """The kilos that each bar draws of each fat at a plan."""
        out: dict[str, list[float]] = {}
        for place, block in enumerate(self.blocks):
            for item, kilos in zip(block.columns.stocked, block.fats(point).tolist(), strict=True):
                out.setdefault(item.fat.name, [0.0] * len(self.blocks))[place] += kilos
        return out


def together(
    members: Sequence[Member],
    offers: Sequence[Offer] = (),
    left_counts: float = ALL,
    *,
    at_least_prices: bool = False,
) -> Together:
    """One programme of several bars: a block for each, and what they draw of each fat together.

    Args:
        members: the bars, each with a name of its own and a programme over the same shelf.
        offers: what there is of each fat and how more can be bought; none where the stock is all there is of what has one.
        left_counts: the share (0 to 1) at which what is left of purchases counts.
        at_least_prices: goals on the cost reckon with the prices of the members' shelves, and not with what is drawn of which tin.
    """
    blocks: list[Block] = []
    first = 0
    for member in members:
        size = size_of(member.programme.columns)
        count = member.programme.columns.count
        blocks.append(Block(member, first, size, size.amount / float(size.top[:count].min())))
        first += len(member.programme.money)
    bought, draws = None, tuple[Draw, ...]()
    if offers:
        most = sum(block.most_fats for block in blocks)
        tells_cost = not at_least_prices and any(map(has_goal_on_cost, blocks))
        bought = purchases(
            offers, uses(blocks), first=first, most_kg=most, left_counts=left_counts, tells_cost=tells_cost
        )
        if tells_cost:
            bought, draws = with_own_draws(blocks, offers, bought)
    rows = [at_own_draws(row, draws, place) for place, block in enumerate(blocks) for row in block_rows(block)]
    rows += [row for block in blocks for row in size_rows(block)]
    rows += shared_rows(blocks) if bought is None else buying_rows(offers, bought)
    soft = list(wished_rows(blocks, draws, len(rows)))
    every = [*rows, *(row for group, _ in soft for row in group)]
    made = assembled(blocks, every, [found for _, found in soft], bought)
    return Together(made, tuple(blocks), bought, draws)


def assembled(
    blocks: Sequence[Block], rows: Sequence[Row], soft: Sequence[Preference], bought: Purchases | None
) -> Programme:
    """Rows of blocks laid side by side into arrays.

    Args:
        blocks: the bars.
        rows: every row, those of preferences last.
        soft: the preferences.
        bought: what may be bought, if anything is asked of that.
    """
    own = () if bought is None else bought.columns
    width = sum(block.width for block in blocks) + len(own)
    matrix = np.zeros((len(rows), width))
    for place, row in enumerate(rows):
        matrix[place, : len(row.top)] = row.coefficients
    for preference in soft:
        for place, column in zip(preference.rows, preference.shortfalls, strict=True):
            matrix[place, column] = 1.0 if rows[place].side == Side.AT_LEAST else -1.0
    bounds = np.array([row.bounds for row in rows])
    parts = [block.member.programme for block in blocks]
    lots = [moved(one, block.first) for block in blocks for one in block.member.programme.every_lots]
    high = [*(highs(block) for block in blocks), np.array([column.upper for column in own])]
    return Programme(
        columns=blocks[0].columns,  # for its currency; nothing else of it is asked of a plan
        rows=tuple(rows),
        matrix=matrix,
        row_low=bounds[:, 0],
        row_high=bounds[:, 1],
        column_low=np.concatenate(
            [*(np.where(part.integer, part.column_low, 0.0) for part in parts), np.zeros(len(own))]
        ),
        column_high=np.concatenate(high),
        integer=np.concatenate(
            [*(part.integer for part in parts), np.array([one.is_whole for one in own], dtype=bool)]
        ),
        money=np.concatenate([*(beyond(block, bought) for block in blocks), np.array([one.cost for one in own])]),
        cured=np.zeros(width),
        soft=tuple(soft),
        lots=lots[0] if lots else None,
        more_lots=tuple(lots[1:]),
    )


def beyond(block: Block, bought: Purchases | None) -> Vector:
    """What each column of a bar costs beyond what a kilo of the bar costs by itself; a fat that is bought what it counts there."""
    part = block.member.programme
    money = part.money.copy()
    if bought is not None:
        money[: block.columns.count] = [bought.per_kg_used[fat.name] for fat in block.columns.fats]
    return money - block.member.worth * part.cured


def highs(block: Block) -> Vector:
    """The most of each column of a bar, in its kilos."""
    part = block.member.programme
    return np.where(part.integer, part.column_high, part.column_high * max(block.most_fats, 1.0))


def moved(lots: LotSpread, by: int) -> LotSpread:
    """The cone of a bar's lots where its columns begin further on."""
    return LotSpread(
        lots.norm + by,
        np.concatenate([np.zeros(by, dtype=np.intp), lots.group]),
        np.concatenate([np.zeros(by), lots.weight]),
    )


# -- what all share ------------------------------------------------------------------------------------------------


def shared_rows(blocks: Sequence[Block]) -> list[Row]:
    """What all bars draw of each thing of which the shelf has only so much: one wish, whoever draws it."""
    every: dict[WishId, list[tuple[Block, Row]]] = {}
    for block in blocks:
        for row in block.member.programme.rows:
            if row.origin == Origin.STOCK:
                every.setdefault(row.wish, []).append((block, row))
    return [shared_row(found) for found in every.values()]


def shared_row(found: Sequence[tuple[Block, Row]]) -> Row:
    """One row of what is drawn in kilos; a bar's own row tells which of its columns draw."""
    width = max(block.first + len(row.top) for block, row in found)
    top = np.zeros(width)
    for block, row in found:
        felt = np.flatnonzero(row.top)
        top[block.first + felt] = row.top[felt] / float(row.top[felt].max())
    first = found[0][1]
    return first._replace(top=top, bottom=None)


def uses(blocks: Sequence[Block]) -> dict[str, dict[int, float]]:
    """By fat, the columns that use it, each a kilo for a kilo."""
    out: dict[str, dict[int, float]] = {}
    for block in blocks:
        for place, fat in enumerate(block.columns.fats):
            out.setdefault(fat.name, {})[block.first + place] = 1.0
    return out


def buying_rows(offers: Sequence[Offer], bought: Purchases) -> Iterator[Row]:
    """The rows of what is bought; that there is no more than is in stock is a wish only where nothing can be bought."""
    known = {offer.fat: offer for offer in offers}
    width = bought.first + len(bought.columns)
    for number, made in enumerate(bought.rows):
        offer = known[made.fat]
        top = np.zeros(width)
        top[list(made.entries)] = list(made.entries.values())
        is_wish = made.kind == "stock" and not offer.orders
        side = Side.AT_MOST if np.isfinite(made.high) else Side.AT_LEAST
        limit = made.high if side == Side.AT_MOST else made.low
        if is_wish:
            wish = WishId(Section.STOCK, made.fat, side)
            said = Said(made.fat, side, f"{offer.stock_kg:.6g} kg", whose=Whose.STOCK)
        else:
            wish, said = (
                WishId(Section.PHYSICS, made.fat, side, f"{made.kind} {number}"),
                Said(f"{made.fat}: {made.kind}"),
            )
        yield Row(wish, made.fat, said, side, limit, "kg", 0.5, IN_STOCK, top, None, offer.span)


IN_STOCK = "that is all there is on the shelf"


def wished_rows(blocks: Sequence[Block], draws: Sequence[Draw], first: int) -> Iterator[tuple[list[Row], Preference]]:
    """The preferences in the order in which they are met: the first of each bar in the order of the plan, then the second of each.

    Args:
        blocks: the bars.
        draws: what those with a goal on cost draw of fats that have no one price.
        first: the place of the first of their rows.
    """
    for level in zip_longest(*(block.member.programme.soft for block in blocks)):
        for bar, (block, preference) in enumerate(zip(blocks, level, strict=True)):
            if preference is None:
                continue
            every = block.member.programme.rows
            rows = [at_own_draws(in_kilos(block, every[place]), draws, bar) for place in preference.rows]
            places = tuple(range(first, first + len(rows)))
            first += len(rows)
            yield rows, Preference(places, tuple(block.first + column for column in preference.shortfalls))
