"""The programme of one bar in kilograms instead of parts of its fats, with purchases beside it: what is paid for is whole packs.

Every row of a blend is linear in its shares v, a.v <= b, and the shares add up to one; with u = F v, F the kilos of fats of
the batch, it is a.u - b sum(u of the fats) <= 0. The batch itself is one row: F depends on the blend through 1 / F = g.v, so
g.u = 1. So a whole number of packs stands beside kilos in rows that are linear whatever decides F: a mass of fats,
bars of a cured weight, a mould. A 0/1 column o of counted fats stands beside shares as F o, which is a column of its own where F is not
known, held to F where o is 1 and to nothing where it is 0 by the two ends of F (McCormick 1976, doi:10.1007/BF01580665).
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from typing import NamedTuple

import numpy as np

from optimiser.maths.arrays import Vector
from optimiser.model.programme import Programme
from optimiser.model.rows import of_this_batch
from optimiser.planning.building import on_cost
from optimiser.planning.offers import Offer, offers
from optimiser.planning.purchases import BuyingRow, Purchases, purchases
from optimiser.problem.buying import Buying
from optimiser.problem.shelf import Stocked

MOST_EXTRA = 1e6  # money a kilo of fats
SAME = 1e-12  # relative: both ends of the kilos of fats are one


class Ends(NamedTuple):
    """The least and the most kilos of fats that the batch can take."""

    low: float
    high: float


class ExtraCost(NamedTuple):
    """A column that is a sum over others: by how much what is used costs more than at the shelf's own prices."""

    place: int
    per_kg: Mapping[int, float]

    def value(self, point: Vector) -> float:
        """What it comes to at a point."""
        return sum(extra * float(point[place]) for place, extra in self.per_kg.items())

    @property
    def row(self) -> BuyingRow:
        """The row that says so."""
        entries = {self.place: 1.0, **{place: -extra for place, extra in self.per_kg.items()}}
        return BuyingRow("", "cost", entries, 0.0, 0.0)


class InKilos(NamedTuple):
    """A programme in kilograms, its objective the money that counts; the purchases in it; what they cost more, for goals on that."""

    programme: Programme
    bought: Purchases
    extra: ExtraCost | None = None


def per_kilo_of_fats(programme: Programme) -> Vector:
    """g, with g.v = 1 / F: one part in so many kilos of fats as the batch takes, over the columns of a programme."""
    one = of_this_batch(programme.columns)[1]
    return np.pad(one, (0, len(programme.money) - len(one)))


def in_kilos(programme: Programme, ends: Ends) -> Programme:
    """A programme over kilograms of one batch.

    Args:
        programme: m rows over n columns, one kilogram of fats; preferences held, so that no row has room to fall short.
        ends: how many kilos of fats the batch can take.
    """
    n, width = programme.columns.count, len(programme.money)
    whole = np.flatnonzero(programme.integer)
    fats = np.zeros(width)
    fats[:n] = 1.0
    mixed = (programme.matrix[:, ~programme.integer] != 0.0).any(axis=1)
    blends = mixed | ~(programme.matrix != 0.0).any(axis=1)  # rows of 0/1 columns alone stay as they are
    scaled = [
        homogeneous(programme.matrix[blends], limits[blends], fats)
        for limits in (programme.row_low, programme.row_high)
    ]
    parts = [
        (scaled[0], np.where(np.isfinite(programme.row_low[blends]), 0.0, -np.inf), np.full(blends.sum(), np.inf)),
        (scaled[1], np.full(blends.sum(), -np.inf), np.where(np.isfinite(programme.row_high[blends]), 0.0, np.inf)),
        (programme.matrix[~blends], programme.row_low[~blends], programme.row_high[~blends]),
        (per_kilo_of_fats(programme)[None, :], np.ones(1), np.ones(1)),
        shares_within(programme, fats),
    ]
    matrix = np.vstack([part[0] for part in parts])
    low, high = np.concatenate([part[1] for part in parts]), np.concatenate([part[2] for part in parts])
    told = (np.isfinite(low) | np.isfinite(high)) & (matrix != 0.0).any(axis=1)
    most = np.where(programme.integer, programme.column_high, programme.column_high * ends.high)
    least = np.where(programme.integer, programme.column_low, np.minimum(programme.column_low, 0.0) * ends.high)
    made = replace(
        programme,
        rows=(),
        soft=(),
        matrix=matrix[told],
        row_low=low[told],
        row_high=high[told],
        column_low=least,
        column_high=most,
    )
    return with_fats_in_switches(made, whole, len(scaled[0]) * 2, told, fats, ends) if len(whole) else made


def homogeneous(matrix: Vector, limits: Vector, fats: Vector) -> Vector:
    """Rows a.v against b as rows a.u - b sum(u of the fats) against nothing; those without a limit stay as they are."""
    return matrix - np.outer(np.where(np.isfinite(limits), limits, 0.0), fats)


def shares_within(programme: Programme, fats: Vector) -> tuple[Vector, Vector, Vector]:
    """Rows for the ends of columns that are narrower than those they have by themselves: ends of shares are ends of parts."""
    size = programme.columns.size
    own = np.array([column.upper for column in programme.columns.all])
    low = np.flatnonzero(programme.column_low[:size] > 0.0)
    high = np.flatnonzero((programme.column_high[:size] < own) & (programme.column_high[:size] > 0.0))
    rows = np.zeros((len(low) + len(high), len(fats)))
    for place, column in enumerate(low.tolist()):
        rows[place, column] = 1.0
        rows[place] -= programme.column_low[column] * fats
    for place, column in enumerate(high.tolist(), len(low)):
        rows[place, column] = 1.0
        rows[place] -= programme.column_high[column] * fats
    none, free = np.zeros(len(low)), np.full(len(low), np.inf)
    return rows, np.concatenate([none, np.full(len(high), -np.inf)]), np.concatenate([free, np.zeros(len(high))])


def with_fats_in_switches(
    made: Programme, whole: np.ndarray, blends: int, told: np.ndarray, fats: Vector, ends: Ends
) -> Programme:
    """The programme where 0/1 columns beside kilos count as so many kilos of fats.

    Args:
        made: rows of which the first ones have kilos; in these the coefficient of a 0/1 column is for F times that column.
        whole: places of the 0/1 columns.
        blends: how many rows had kilos before those that say nothing were left out.
        told: which of them were kept.
        fats: 1 for each fat.
        ends: of the kilos of fats.
    """
    first = int(told[:blends].sum())
    matrix = made.matrix.copy()
    if ends.high - ends.low <= SAME * ends.high:
        matrix[:first, whole] *= ends.high
        return replace(made, matrix=matrix)
    width, more = matrix.shape[1], len(whole)
    wide = np.hstack([matrix, np.zeros((len(matrix), more))])
    wide[:first, width:] = matrix[:first][:, whole]
    wide[:first, whole] = 0.0
    rows, low, high = [], [], []
    for place, column in enumerate(whole.tolist(), width):
        for end, of_fats, side in ((ends.high, 0.0, -1), (ends.low, 0.0, 1), (ends.low, 1.0, -1), (ends.high, 1.0, 1)):
            # w against end o, and w - F against end (o - 1)
            row = np.zeros(width + more)
            row[place], row[column] = 1.0, -end
            row[:width] -= of_fats * fats
            rows.append(row)
            limit = -end * of_fats
            low.append(limit if side > 0 else -np.inf)
            high.append(limit if side < 0 else np.inf)
    return replace(
        made,
        matrix=np.vstack([wide, np.array(rows)]),
        row_low=np.concatenate([made.row_low, low]),
        row_high=np.concatenate([made.row_high, high]),
        column_low=np.concatenate([made.column_low, np.zeros(more)]),
        column_high=np.concatenate([made.column_high, np.full(more, ends.high)]),
        integer=np.concatenate([made.integer, np.zeros(more, dtype=np.bool_)]),
        money=np.concatenate([made.money, np.zeros(more)]),
        cured=np.concatenate([made.cured, np.zeros(more)]),
    )


def with_purchases(programme: Programme, stocked: tuple[Stocked, ...], buying: Buying, ends: Ends) -> InKilos:
    """A programme of one bar without stocks as one in kilograms, with what is bought as whole packs.

    Its money is what counts: the cash, less the share of what is left; a goal on the cost counts what is used.

    Args:
        programme: one kilogram of fats; preferences held, so that no row has room to fall short.
        stocked: the fats of its first columns, as their maker told their prices.
        buying: what may be bought, and the share at which what is left counts.
        ends: of the kilos of fats.
    """
    costs = list(on_cost(programme.rows))
    made = in_kilos(with_extra_cost(programme, costs) if costs else programme, ends)
    use = {item.fat.name: {place: 1.0} for place, item in enumerate(stocked)}
    width = len(made.money)
    every = offers(stocked, buying.buy)
    bought = purchases(
        every, use, first=width, most_kg=ends.high, left_counts=buying.left_counts, tells_cost=bool(costs)
    )
    more = len(bought.columns)
    extra = extra_cost(every, bought, len(programme.money)) if costs else None
    lines = [*bought.rows, *([] if extra is None else [extra.row])]
    rows = np.zeros((len(lines), width + more))
    for place, row in enumerate(lines):
        rows[place, list(row.entries)] = list(row.entries.values())
    money = made.money.copy()
    money[: len(stocked)] = [bought.per_kg_used[item.fat.name] for item in stocked]
    none = np.zeros(more)
    made = replace(
        made,
        matrix=np.vstack([np.hstack([made.matrix, np.zeros((len(made.matrix), more))]), rows]),
        row_low=np.concatenate([made.row_low, [row.low for row in lines]]),
        row_high=np.concatenate([made.row_high, [row.high for row in lines]]),
        column_low=np.append(made.column_low, none),
        column_high=np.append(made.column_high, [column.upper for column in bought.columns]),
        integer=np.append(made.integer, np.array([column.is_whole for column in bought.columns], dtype=np.bool_)),
        money=np.append(money, bought.costs),
        cured=np.append(made.cured, none),
    )
    return InKilos(made, bought, extra)


def with_extra_cost(programme: Programme, costs: list[int]) -> Programme:
    """The programme with a column more: the money by which what is used costs more than the shelf's own prices, in rows on the cost."""
    extra = np.zeros((len(programme.matrix), 1))
    extra[costs] = 1.0
    return replace(
        programme,
        matrix=np.hstack([programme.matrix, extra]),
        column_low=np.append(programme.column_low, -MOST_EXTRA),
        column_high=np.append(programme.column_high, MOST_EXTRA),
        integer=np.append(programme.integer, False),
        money=np.append(programme.money, 0.0),
        cured=np.append(programme.cured, 0.0),
    )


def extra_cost(offers: Iterable[Offer], bought: Purchases, place: int) -> ExtraCost:
    """What that column is: each kilo drawn from what was bought, at what it costs more than one in stock."""
    price = {offer.fat: offer.price for offer in offers}
    drawn = [
        (column, told.fat, told.tin)
        for column, told in enumerate(bought.columns, bought.first)
        if told.kind == "drawn" and told.tin is not None
    ]
    return ExtraCost(place, {column: tin.per_kg - price[fat] for column, fat, tin in drawn})
