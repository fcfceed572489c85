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
from typing import NamedTuple

import numpy as np

from optimiser.maths.arrays import Vector
from optimiser.measures.sides import Side
from optimiser.model.columns import Columns
from optimiser.model.lot_spread import LotSpread
from optimiser.model.pot import batter, volume
from optimiser.model.programme import Preference, Programme
from optimiser.model.rows import Row
from optimiser.planning.offers import Offer
from optimiser.planning.purchases import Purchases, purchases
from optimiser.problem.batch import Batch
from optimiser.problem.buying import ALL
from optimiser.problem.wishes import Origin, Said, Section, Whose, WishId

SHARES = "shares"
SIZE = "batch"


class Member(NamedTuple):
    """One bar of a plan: what it is called there, its own rows, and what a kilo of it costs with the shelf to itself."""

    name: str
    programme: Programme
    worth: float


class Size(NamedTuple):
    """How much is made of a bar: a vector over its columns, in `unit`, that comes to `amount`."""

    top: Vector
    amount: float
    unit: str

    @property
    def words(self) -> str:
        """As a maker says it: "200 bars"."""
        return f"{self.amount:.6g} {self.unit}"


class Block(NamedTuple):
    """Where one bar stands: its columns from `first` on, in kilos of its batch; the fats weigh `most_fats` kg at the most."""

    member: Member
    first: int
    size: Size
    most_fats: float

    @property
    def columns(self) -> Columns:
        """The columns of the bar by itself."""
        return self.member.programme.columns

    @property
    def width(self) -> int:
        """How many columns it has."""
        return len(self.member.programme.money)

    @property
    def cured_kg(self) -> float | None:
        """What the batch weighs when it is cured, where the maker says how many bars; else the blend decides it."""
        batch = self.columns.batch
        sized = batch.fats_kg is not None or batch.mould is not None or batch.batter_kg is not None
        return None if sized else (batch.bars or 1) * batch.cured_weight_kg

    def fats(self, point: Vector) -> Vector:
        """The kilos of each of its fats at a plan."""
        return point[self.first : self.first + self.columns.count]

    def alone(self, point: Vector) -> Vector:
        """The bar at a plan as a point of its own programme, for a kilo of fats."""
        out = point[self.first : self.first + self.width].copy()
        whole = float(self.fats(point).sum())
        scaled = ~self.member.programme.integer
        out[scaled] /= whole or 1.0
        return out


@dataclass(frozen=True)
class Together:
    """All bars of a plan as one programme, and where each of them stands in it."""

    programme: Programme
    blocks: tuple[Block, ...]
    purchases: Purchases | None = None

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


def together(members: Sequence[Member], offers: Sequence[Offer] = (), left_counts: float = ALL) -> Together:
    """One programme of several bars: a block for each, and what they draw of each fat together.

    Args:
        members: the bars, each with a name of its own and a programme over the same shelf.
        offers: what there is of each fat and how more can be bought; none where the stock is all there is of what has one.
        left_counts: the share (0 to 1) at which what is left of purchases counts.
    """
    blocks: list[Block] = []
    first = 0
    for member in members:
        size = size_of(member.programme.columns)
        count = member.programme.columns.count
        blocks.append(Block(member, first, size, size.amount / float(size.top[:count].min())))
        first += len(member.programme.money)
    rows = [row for block in blocks for row in block_rows(block)]
    rows += [row for block in blocks for row in size_rows(block)]
    bought = None
    if offers:
        most = sum(block.most_fats for block in blocks)
        bought = purchases(offers, uses(blocks), first=first, most_kg=most, left_counts=left_counts)
        rows += buying_rows(offers, bought)
    else:
        rows += shared_rows(blocks)
    soft = list(wished_rows(blocks, len(rows)))
    every = [*rows, *(row for group, _ in soft for row in group)]
    made = assembled(blocks, every, [found for _, found in soft], bought)
    return Together(made, tuple(blocks), bought)


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


# -- how much is made ----------------------------------------------------------------------------------------------


def size_of(columns: Columns) -> Size:
    """How much the batch of a bar is, as a vector over its columns for a kilo of fats."""
    batch: Batch = columns.batch
    if batch.fats_kg is not None:
        return Size(columns.constant(1.0), batch.fats_kg, "kg of fats")
    if batch.mould is not None:
        return Size(volume(columns), batch.mould.litres, "litres of batter")
    if batch.batter_kg is not None:
        return Size(batter(columns), batch.batter_kg, "kg of batter")
    return Size(columns.cured / batch.cured_weight_kg, float(batch.bars or 1), "bars")


def size_rows(block: Block) -> Iterator[Row]:
    """That so much is made: at least so much is the maker's wish, and that it is no more is no wish."""
    name, size = block.member.name, block.size
    top = placed(block, size.top)
    words = Said(f"{name}: {size.words}")
    span, why = block.columns.batch.span, "so much is to be made"
    wish = WishId(Section.GOALS, SIZE, Side.AT_LEAST, mark(name))
    step = max(1.0, round(0.05 * size.amount))
    yield Row(wish, SIZE, words, Side.AT_LEAST, size.amount, size.unit, step, why, top, None, span)
    wish = WishId(Section.PHYSICS, SIZE, Side.AT_MOST, mark(name))
    yield Row(wish, SIZE, words, Side.AT_MOST, size.amount, size.unit, step, why, top, None, span)


# -- rows of one bar -----------------------------------------------------------------------------------------------


def mark(name: str) -> str:
    """What stands in the id of a wish that is one bar's own."""
    return f"{name}: "


def own(row: Row, name: str) -> WishId:
    """The id of a row's wish as one bar's own."""
    return row.wish._replace(within=mark(name) + row.wish.within)


def placed(block: Block, vector: Vector) -> Vector:
    """A vector over a bar's columns as one over those of the plan."""
    return np.concatenate([np.zeros(block.first), vector])


def block_rows(block: Block) -> Iterator[Row]:
    """What must hold of one bar by itself, in kilos of its batch; what is on the shelf is shared, and comes with `shared_rows`."""
    part = block.member.programme
    wished = {place for preference in part.soft for place in preference.rows}
    for place, row in enumerate(part.rows):
        if place not in wished and row.origin != Origin.STOCK and not is_whole(row):
            yield in_kilos(block, row)
    yield from end_rows(block)


def is_whole(row: Row) -> bool:
    """Whether a row says that the shares are all there is; in kilos the size of the batch says how much that is."""
    return row.origin == Origin.PHYSICS and row.wish.key == SHARES


def in_kilos(block: Block, row: Row) -> Row:
    """A row on a kilo of fats as one on the batch.

    A figure that is no ratio becomes one to the fats. A row that ties a share to a 0/1 column is tied to the most that
    the fats could weigh: exactly that where the batch is so much fat, and a room that no blend feels where it is not.
    """
    columns, part = block.columns, block.member.programme
    switches = np.flatnonzero(part.integer[: len(row.top)])
    wish, every = own(row, block.member.name), np.zeros(len(row.top))
    every[: columns.count] = 1.0
    felt = row.coefficients
    if not len(switches) or not felt[switches].any():
        under = row.bottom if row.bottom is not None else every
        return row._replace(wish=wish, top=placed(block, row.top), bottom=placed(block, under))
    out = felt.copy()
    out[switches] = 0.0
    if not out.any():  # it counts fats: there are no kilos in it
        bottom = None if row.bottom is None else placed(block, row.bottom)
        return row._replace(wish=wish, top=placed(block, row.top), bottom=bottom)
    low, high = row.bounds
    most, limit = block.most_fats, high if row.side == Side.AT_MOST else low
    out -= limit * every
    if columns.batch.fats_kg is not None or row.side == Side.AT_MOST:
        out[switches] = most * felt[switches]
        return row._replace(wish=wish, top=placed(block, out), bottom=None, limit=0.0)
    # share >= least y in kilos: x >= least F - least M (1 - y), where the fats F come to M at the most
    least = -float(felt[switches].sum())
    out -= least * every
    out[switches] = most * felt[switches]
    return row._replace(wish=wish, top=placed(block, out), bottom=None, limit=-least * most)


def end_rows(block: Block) -> Iterator[Row]:
    """Ends of columns that are no more than a guard for a proof, as rows: what a pinch or a recipe in hand holds a share at."""
    part, columns = block.member.programme, block.columns
    for place, column in enumerate(columns.all):
        low, high = float(part.column_low[place]), float(part.column_high[place])
        ends = [(Side.AT_LEAST, low)] if low > 0.0 else []
        ends += [(Side.AT_MOST, high)] if 0.0 < high < column.upper else []
        for side, limit in ends:
            wish = WishId(Section.PHYSICS, column.name, side, mark(block.member.name))
            top, bottom = placed(block, columns.at(column.name)), placed(block, columns.constant(1.0))
            yield Row(wish, column.name, Said(column.name), side, limit, "", 1.0, "settled before", top, bottom)


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


def wished_rows(blocks: Sequence[Block], first: int) -> Iterator[tuple[list[Row], Preference]]:
    """The preferences in the order in which they are met: the first of each bar in the order of the plan, then the second of each.

    Args:
        blocks: the bars.
        first: the place of the first of their rows.
    """
    for level in zip_longest(*(block.member.programme.soft for block in blocks)):
        for block, preference in zip(blocks, level, strict=True):
            if preference is None:
                continue
            rows = [in_kilos(block, block.member.programme.rows[place]) for place in preference.rows]
            places = tuple(range(first, first + len(rows)))
            first += len(rows)
            yield rows, Preference(places, tuple(block.first + column for column in preference.shortfalls))
