"""One bar of a plan in kilos of its own batch: its columns, how much is made of it, and its rows, each with the bar in its id.

See `together`, which says how a share becomes a mass.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

import numpy as np

from optimiser.maths.arrays import Vector
from optimiser.measures.sides import Side
from optimiser.model.columns import Columns
from optimiser.model.pot import batter, volume
from optimiser.model.programme import Programme
from optimiser.model.rows import Row
from optimiser.problem.batch import Batch
from optimiser.problem.wishes import Origin, Said, Section, WishId

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
