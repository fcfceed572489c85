"""The programme of which prices alone change: what is swept, as arrays that travel to other processes.

Prices do not change what a blend must be. So the programme is that of the answer at today's prices, as it stood in the end:
rules of the house at the figures that they gave way to, what may be used at the ends that help, pinches as they were left
out or brought up, preferences held as far as they were met. Cost itself is no part of it: a most that a kilo may cost is
judged afterwards, since the cheapest blend meets it where any does. Only where a least cost is asked for do prices
stand in a row, and then each scenario is solved by itself.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from optimiser.maths.arrays import Mask, Matrix, Vector
from optimiser.measures.sides import Side
from optimiser.model.columns import Columns
from optimiser.model.lot_spread import LotSpread
from optimiser.model.programme import NO_WISHES, Programme
from optimiser.model.rows import Row
from optimiser.problem.batch import Batch
from optimiser.problem.shelf import Shelf
from optimiser.problem.units import Units

HAIR = 1e-8  # of a row's activity: what rounding may do to it
WITHIN = 2e-8  # mol per kg: the spread of lots is as large as it must be
COST = "cost"
FEW_CHOICES = 4
Places = npt.NDArray[np.intp]


class CostRow(NamedTuple):
    """A row in which prices stand: money.v - limit cured.v between two bounds; `limit` is money per kilo of cured bar."""

    place: int
    limit: float
    low: float
    high: float


class Swept(NamedTuple):
    """m rows over n columns, of which `places` (p of them) have prices; no other column ever costs anything.

    `money` and `cured` are the two halves of the cost per kilo today. `kept` is the blend of today (n). `most_costs` are
    what a kilo may cost at the most, judged afterwards; `cost_rows` are rows that prices stand in.
    """

    matrix: Matrix
    row_low: Vector
    row_high: Vector
    column_low: Vector
    column_high: Vector
    money: Vector
    cured: Vector
    integer: Mask
    lots: LotSpread | None
    places: Places
    kept: Vector
    most_costs: tuple[float, ...] = ()
    cost_rows: tuple[CostRow, ...] = ()

    @property
    def is_counted(self) -> bool:
        """Whether fats are counted, so that each scenario needs a search."""
        return bool(self.integer.any())

    @property
    def has_few_choices(self) -> bool:
        """Whether there are so few 0/1 columns that a search is a matter of a few linear programmes."""
        return int(self.integer.sum()) <= FEW_CHOICES

    @property
    def is_linear(self) -> bool:
        """Whether one pool of vertices serves all scenarios."""
        return not (self.is_counted or self.cost_rows)

    def programme(self, money: Vector | None = None, *, cone: bool = True) -> Programme:
        """The programme at some prices (n), today's without; without its cone the lots stray as the rows alone say."""
        prices = self.money if money is None else money
        matrix, low, high = self.matrix, self.row_low, self.row_high
        if self.cost_rows:
            matrix, low, high = matrix.copy(), low.copy(), high.copy()
            for row in self.cost_rows:
                matrix[row.place] = prices - row.limit * self.cured
                low[row.place], high[row.place] = row.low, row.high
        return Programme(
            columns=no_columns(),
            rows=(),
            matrix=matrix,
            row_low=low,
            row_high=high,
            column_low=self.column_low,
            column_high=self.column_high,
            integer=self.integer,
            money=prices,
            cured=self.cured,
            lots=self.lots if cone else None,
        )

    def at(self, prices: Vector) -> Vector:
        """Prices of the columns that have any (p) as costs of all columns (n)."""
        out = np.zeros_like(self.money)
        out[self.places] = prices
        return out

    def with_tangent(self, tangent: Vector) -> Swept:
        """The same with one row more, which is at least 0 for every blend."""
        return self._replace(
            matrix=np.vstack([self.matrix, tangent]),
            row_low=np.append(self.row_low, 0.0),
            row_high=np.append(self.row_high, np.inf),
        )


@cache
def no_columns() -> Columns:
    """Columns of nothing: a programme that travels knows its arrays alone."""
    return Columns((), (), Shelf("", "", "", (), {}, {}, {}, Units.GRAMS), Batch())


def swept(programme: Programme, kept: Vector) -> Swept:
    """What is swept of a programme as it stood for the answer at today's prices.

    Args:
        programme: m rows over n columns, preferences held.
        kept: the blend of that answer (n).
    """
    low, high = programme.row_low.copy(), programme.row_high.copy()
    most: list[float] = []
    inside: list[CostRow] = []
    for place, row in enumerate(programme.rows):
        if row.figure != COST:
            continue
        limit = per_kilo(row, programme.columns)
        if row.side == Side.AT_MOST or row.origin in NO_WISHES:
            if row.origin not in NO_WISHES:
                most.append(limit)
        else:
            inside.append(CostRow(place, limit, float(low[place]), float(high[place])))
        low[place], high[place] = -np.inf, np.inf
    columns = programme.columns
    priced = np.zeros(len(programme.money), dtype=np.bool_)
    priced[: columns.size] = [one.kind not in ("water", "lot spread") for one in columns.all]
    priced |= programme.money != 0.0
    matrix = programme.matrix.copy()
    matrix[[place for place, row in enumerate(programme.rows) if row.figure == COST]] = 0.0
    return Swept(
        matrix=matrix,
        row_low=low,
        row_high=high,
        column_low=programme.column_low,
        column_high=programme.column_high,
        money=programme.money,
        cured=programme.cured,
        integer=programme.integer,
        lots=programme.lots,
        places=np.flatnonzero(priced),
        kept=kept,
        most_costs=tuple(most),
        cost_rows=tuple(inside),
    )


def none_or_enough(swept: Swept, least: Mapping[int, float]) -> Swept:
    """The same with some fats, by column, at nothing or at so much of the fats at the least: a 0/1 column more for each."""
    m, n = swept.matrix.shape
    extra = len(least)
    matrix = np.zeros((m + 2 * extra, n + extra))
    matrix[:m, :n] = swept.matrix
    for number, (place, enough) in enumerate(sorted(least.items())):
        cap, floor = m + 2 * number, m + 2 * number + 1
        matrix[[cap, floor], place] = 1.0
        matrix[[cap, floor], n + number] = -1.0, -enough
    nothing, one = np.zeros(extra), np.ones(extra)
    used = np.array([float(swept.kept[place] > 0.5 * enough) for place, enough in sorted(least.items())])
    return swept._replace(
        matrix=matrix,
        row_low=np.append(swept.row_low, np.tile([-np.inf, 0.0], extra)),
        row_high=np.append(swept.row_high, np.tile([0.0, np.inf], extra)),
        column_low=np.append(swept.column_low, nothing),
        column_high=np.append(swept.column_high, one),
        money=np.append(swept.money, nothing),
        cured=np.append(swept.cured, nothing),
        integer=np.append(swept.integer, one.astype(np.bool_)),
        kept=np.append(swept.kept, used),
    )


def per_kilo(row: Row, columns: Columns) -> float:
    """The limit of a row on the cost as money per kilo of cured bar."""
    assert row.bottom is not None  # a cost is a ratio
    place = int(np.argmax(columns.cured))
    return float(row.limit * row.bottom[place] / columns.cured[place])


def is_in_cone(swept: Swept, point: Vector) -> bool:
    """Whether the spread of lots is as large as it must be at a blend (n), or can be with every row that feels it held."""
    lots = swept.lots
    if lots is None or lots.length(point) - float(point[lots.norm]) <= WITHIN:
        return True
    rows = np.flatnonzero(swept.matrix[:, lots.norm])
    activity = swept.matrix[rows] @ lots.lifted(point)
    return bool((activity >= swept.row_low[rows] - HAIR).all() and (activity <= swept.row_high[rows] + HAIR).all())
