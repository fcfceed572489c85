"""A blend over whole steps of the balance: the rows of its programme, with every weight a whole number of steps.

A row holds of a blend per kilo of fats. Over grams p, whose fats weigh 1.p together, top.v / bottom.v >= limit is
(top - limit bottom).p >= 0, and without a bottom (top - limit 1).p >= 0: linear in p, whatever the fats come to. So each row of
the programme is a row over whole numbers, and none is worked out anew. Unknown is by how many steps each weight differs
from the rounding that is begun with, which keeps the numbers small.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import NamedTuple

import numpy as np

from optimiser.maths.arrays import Mask, Matrix, Vector
from optimiser.measures.sides import Side
from optimiser.model.columns import LOT_SPREAD, Columns
from optimiser.model.programme import Programme
from optimiser.model.rows import Row
from optimiser.problem.limits import GRAMS
from optimiser.problem.wishes import Section

TOTAL = 2.0  # what a gram more or less of all fats counts, beside one of a single weight
CHEAPER = 1e-3  # of the finest step: all that money may count, so that it decides between equals
SPREAD = 2.0  # times as much as lots stray at first: no recipe near the blend strays so far
TINY = 1e-9
NO_ENTRY = 1e-12  # of a row: no part of the recipe has a share in it
MOST_APART = 1e6  # g, or natural steps: the bound only keeps the search finite


class Held(NamedTuple):
    """A row to hold, and by how much its figure may lie `under` and `over` its limit, in its unit.

    `weight` is what a natural step of missing it costs, in grams of distance; 0 where it may not be missed.
    """

    row: Row
    under: float = 0.0
    over: float = 0.0
    weight: float = 0.0


class Weight(NamedTuple):
    """One thing that is weighed: its place among the columns, a step of it in grams, and the part of it that is pure.

    `exact` is what the blend has of it in grams as weighed, `begin` what it is rounded to at first; `least` to `most`
    steps may be added. `keeps_near` tells that its distance from the blend counts (the alkali follows the fats); what is no
    fat is told from the blend's own proportion to the fats.
    """

    place: int
    step: float
    exact: float
    begin: float
    least: int
    most: int
    pure: float = 1.0
    keeps_near: bool = True


class Alkali(NamedTuple):
    """What an alkali may be: no more than `fixed` + `by_fats`.p grams of it pure, and less than a step below that.

    `weight` is its place among the weights.
    """

    weight: int
    fixed: float
    by_fats: Vector


class Balance(NamedTuple):
    """What lies on the balance: `total` grams of fats in the blend, from which all may come away by `band`.

    `switches` are the 0/1 columns of counted fats as they stand; `tangents`, over the columns, cut off the cone of the lots.
    """

    columns: Columns
    total: float
    weights: tuple[Weight, ...]
    alkalis: tuple[Alkali, ...]
    band: float
    switches: Vector
    tangents: tuple[Vector, ...] = ()

    @property
    def begin(self) -> Vector:
        """Grams over the columns at the rounding that is begun with."""
        out = self.columns.zeros()
        for weight in self.weights:
            out[weight.place] += weight.begin * weight.pure
        out[self.columns.index["water"]] += float(self.columns.water_brought @ out)
        return out

    @property
    def per_step(self) -> Matrix:
        """Grams over the columns (rows) that a step of each weight adds; what a solution brings is water too."""
        out = np.zeros((self.columns.size, len(self.weights)))
        for at, weight in enumerate(self.weights):
            out[weight.place, at] = weight.step * weight.pure
        out[self.columns.index["water"]] += self.columns.water_brought @ out
        return out


class Stepped(NamedTuple):
    """The programme for a search, and how its points are grams: `begin` + `per_step` u over the first columns u."""

    programme: Programme
    begin: Vector
    per_step: Matrix

    def grams(self, point: Vector) -> Vector:
        """Grams over the columns of the blend."""
        return self.begin + self.per_step @ np.round(point[: self.per_step.shape[1]])


class Half(NamedTuple):
    """One half of a row, over grams: vector.p at least `least`, in the figure's unit; weight and scale of a miss."""

    vector: Vector
    least: float
    weight: float
    scale: float


def stepped(balance: Balance, rows: Sequence[Held]) -> Stepped:
    """The programme over whole steps: least distance from the blend in grams, then least money.

    Columns: whole numbers of steps, one for each weight; the lot spread; the distance of each weight that is kept near; that
    of all fats; and the miss of each side of a row that may be missed, in natural steps.
    """
    columns, weights, begin, per_step = balance.columns, balance.weights, balance.begin, balance.per_step
    n, near = len(weights), [at for at, weight in enumerate(weights) if weight.keeps_near]
    over = np.zeros((columns.size, n + 1))
    over[:, :n] = per_step
    over[columns.index[LOT_SPREAD], n] = 1.0
    low = np.array([*(weight.least for weight in weights), 0.0])
    high = np.array([*(weight.most for weight in weights), SPREAD * columns.lot_spread.length(begin)])
    halves = [half for held in rows for half in sides_of(balance, held, begin)]
    halves = [half for half in halves if np.abs(half.vector @ per_step).max(initial=0.0) > NO_ENTRY]
    entries = [half.vector @ over for half in halves]
    least = [half.least - float(half.vector @ begin) for half in halves]
    binds = may_bind(_stacked(entries, n + 1), np.array([(end, np.inf) for end in least]).reshape(-1, 2), low, high)
    soft = [at for at in np.flatnonzero(binds).tolist() if halves[at].weight]
    width = n + 1 + len(near) + 1 + len(soft)
    laid = _Laid(width)
    for at in np.flatnonzero(binds).tolist():
        missed = {width - len(soft) + soft.index(at): halves[at].scale} if halves[at].weight else {}
        laid.row(entries[at], missed, least[at])
    for tangent in balance.tangents:
        laid.row(tangent @ over, {}, -float(tangent @ begin))
    for alkali in balance.alkalis:
        entry, low_end, high_end = _follows(alkali, weights[alkali.weight], balance, over, begin)
        laid.row(entry, {}, low_end, high_end)
    for at, place in enumerate(near, n + 1):
        vector, off = _apart(balance, weights[place], begin)
        laid.distance(vector @ over, off, at)
    fats = columns.of_fats(1.0)
    laid.distance(fats @ over, float(fats @ begin) - balance.total, n + 1 + len(near))
    far = np.full(width - n - 1, MOST_APART)
    far[len(near)] = balance.band
    money = [*_money(balance, low, high), 0.0, *np.ones(len(near)), TOTAL, *(halves[at].weight for at in soft)]
    programme = Programme(
        columns=columns,
        rows=(),
        matrix=_stacked(laid.entries, width),
        row_low=np.array(laid.low),
        row_high=np.array(laid.high),
        column_low=np.concatenate([low, np.zeros(width - n - 1)]),
        column_high=np.concatenate([high, far]),
        integer=np.arange(width) < n,
        money=np.array(money),
        cured=np.zeros(width),
    )
    return Stepped(programme, begin, per_step)


class _Laid:
    """Rows as they are laid, over so many columns."""

    def __init__(self, width: int) -> None:
        self.width = width
        self.entries: list[Vector] = []
        self.low: list[float] = []
        self.high: list[float] = []

    def row(self, entry: Vector, more: Mapping[int, float], low: float, high: float = np.inf) -> None:
        """One row: its entries in the first columns, and in some others."""
        out = np.zeros(self.width)
        out[: len(entry)] = entry
        out[list(more)] = list(more.values())
        self.entries.append(out)
        self.low.append(low)
        self.high.append(high)

    def distance(self, entry: Vector, off: float, at: int) -> None:
        """The column `at` is no less than a figure and than its negative; the figure is `off` at first."""
        for sign in (1.0, -1.0):
            self.row(-sign * entry, {at: 1.0}, sign * off)


def _stacked(rows: Sequence[Vector], width: int) -> Matrix:
    return np.array(rows).reshape(-1, width)


def may_bind(matrix: Matrix, ends: Matrix, low: Vector, high: Vector) -> Mask:
    """Which rows some point within the columns' bounds breaks: near a blend most rules of the house have room to spare."""
    up, down = np.maximum(matrix, 0.0), np.minimum(matrix, 0.0)
    least, most = up @ low + down @ high, up @ high + down @ low
    return np.asarray((least < ends[:, 0]) | (most > ends[:, 1]), dtype=np.bool_)


def sides_of(balance: Balance, held: Held, begin: Vector) -> Iterator[Half]:
    """A row as sides over grams, each at its limit less what may be missed; divided so that it is told in the figure's unit."""
    row = held.row
    ends = []
    if row.side != Side.AT_MOST:
        ends.append((1.0, row.limit - held.under))
    if row.side != Side.AT_LEAST:
        ends.append((-1.0, row.limit + held.over))
    top, bottom = over_grams(balance, row)
    size = 1.0 if bottom is None else float(bottom @ begin)
    if size <= 0.0:
        return
    for sign, limit in ends:
        if bottom is None:
            yield Half(sign * top, sign * limit, held.weight, row.scale)
        else:
            yield Half(sign * (top - limit * bottom) / size, 0.0, held.weight, row.scale)


def over_grams(balance: Balance, row: Row) -> tuple[Vector, Vector | None]:
    """A row's figure over grams, top.p / bottom.p; no bottom where it is on grams themselves, of this batch or of the shelf."""
    columns = balance.columns
    if row.unit == GRAMS:
        return row.top[: columns.size] / 1000.0, None
    if row.wish.section == Section.STOCK:
        return (row.top[: columns.size] > 0.0) / 1000.0, None
    bottom = columns.of_fats(1.0) if row.bottom is None else _folded(columns, row.bottom, balance.switches)
    return _folded(columns, row.top, balance.switches), bottom


def is_over_columns(columns: Columns, row: Row, switches: int) -> bool:
    """Whether a row is on what is weighed: it has a part in the columns, and none beyond the 0/1 columns of counted fats."""
    every = [row.top] if row.bottom is None else [row.top, row.bottom]
    beyond = any(vector[columns.size + switches :].any() for vector in every)
    return not beyond and any(vector[: columns.size].any() for vector in every)


def _folded(columns: Columns, vector: Vector, switches: Vector) -> Vector:
    """A vector over the columns; what it has of 0/1 columns is a constant, laid on the fats."""
    beyond = vector[columns.size :]
    return vector[: columns.size] + columns.constant(float(beyond @ switches[: len(beyond)]))


def _follows(
    alkali: Alkali, weight: Weight, balance: Balance, over: Matrix, begin: Vector
) -> tuple[Vector, float, float]:
    """An alkali within a step below what the fats take, told in its own steps."""
    step = weight.step * weight.pure
    vector = balance.columns.zeros()
    vector[weight.place] = 1.0
    vector = (vector - alkali.by_fats) / step
    off = float(vector @ begin) - alkali.fixed / step
    return vector @ over, -1.0 + TINY - off, 1e-6 - off


def _apart(balance: Balance, weight: Weight, begin: Vector) -> tuple[Vector, float]:
    """How far a weight is from the blend's, over grams, and how far it is at first."""
    columns = balance.columns
    vector = columns.zeros()
    vector[weight.place] = 1.0
    if weight.place == columns.index["water"]:
        vector = vector - columns.water_brought
    if weight.place < columns.count:
        return vector, float(vector @ begin) - weight.exact
    vector = vector - columns.of_fats(weight.exact / balance.total)
    return vector, float(vector @ begin)


def _money(balance: Balance, low: Vector, high: Vector) -> Vector:
    """What the whole numbers cost: so little that it decides between equal distances alone."""
    n = len(balance.weights)
    price = balance.columns.money @ balance.per_step
    span = float(np.abs(price) @ (high[:n] - low[:n]))
    finest = min(weight.step for weight in balance.weights)
    return price * (CHEAPER * finest / span) if span > 0.0 else np.zeros(n)
