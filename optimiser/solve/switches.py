"""0/1 columns tied to shares: reading the ties off a programme, setting switches, and leaving out what cannot matter."""

from __future__ import annotations

from dataclasses import replace
from typing import Any, NamedTuple

import numpy as np
import numpy.typing as npt

from optimiser.maths.arrays import Vector
from optimiser.model.programme import Programme

Places = npt.NDArray[np.intp]
DUST = 1e-9  # a share that is none
NEAR = 1e-8  # of an objective: no worse
HELD = 1e-7  # how far a row may be missed by a blend whose switches were set by hand, or that was found before
PAD = 1e-7  # by how much a limit worked out in floating point is widened


class Ties(NamedTuple):
    """Rows that tie a share to a switch: share <= most x switch (`is_cap`), or share >= least x switch."""

    rows: Places
    shares: Places
    switches: Places
    per: Vector
    is_cap: npt.NDArray[np.bool_]


def ties_of(programme: Programme) -> Ties:
    """The rows over just one share and one 0/1 column of opposite signs, without a constant."""
    filled = programme.matrix != 0.0
    rows = np.flatnonzero(filled.sum(axis=1) == 2)
    pairs = np.nonzero(filled[rows])[1].reshape(-1, 2)
    shares, switches = pairs[:, 0], pairs[:, 1]
    low, high = programme.row_low[rows], programme.row_high[rows]
    with np.errstate(invalid="ignore"):
        one_sided = ((high == 0.0) & np.isneginf(low)) | ((low == 0.0) & np.isposinf(high))
    of_share, of_switch = programme.matrix[rows, shares], programme.matrix[rows, switches]
    fits = programme.integer[switches] & ~programme.integer[shares] & one_sided & (of_share > 0) & (of_switch < 0)
    return Ties(rows[fits], shares[fits], switches[fits], (-of_switch / of_share)[fits], (high == 0.0)[fits])


def in_part(programme: Programme) -> Programme:
    """The same with switches that may stand in between."""
    return replace(programme, integer=np.zeros_like(programme.integer))


def with_choice(programme: Programme, point: Vector) -> Programme:
    """The same with its 0/1 columns held as they are at a point."""
    chosen = np.round(point)
    return replace(
        programme,
        column_low=np.where(programme.integer, chosen, programme.column_low),
        column_high=np.where(programme.integer, chosen, programme.column_high),
        integer=np.zeros_like(programme.integer),
    )


def barring(programme: Programme, choices: list[Vector]) -> Programme:
    """The same without some choices of its 0/1 columns, each a whole point: one of them at least must differ."""
    if not choices:
        return programme
    whole = programme.integer.astype(float)
    rows = np.array([whole * (1.0 - 2.0 * np.round(point)) for point in choices])
    least = np.array([1.0 - float(np.round(point) @ whole) for point in choices])
    return replace(
        programme,
        matrix=np.vstack([programme.matrix, rows]),
        row_low=np.concatenate([programme.row_low, least]),
        row_high=np.concatenate([programme.row_high, np.full(len(choices), np.inf)]),
    )


# -- points --------------------------------------------------------------------------------------------------------


def value(asked: Programme, point: Vector) -> float:
    """The objective at a point."""
    return float(asked.money @ point)


def rounded(asked: Programme, ties: Ties, point: Vector) -> Vector:
    """A point with every switch set as its share asks: on above nothing, or where it has no cap, above its least."""
    out = point.copy()
    whole = np.flatnonzero(asked.integer)
    out[whole] = np.round(out[whole])
    shares = out[ties.shares]
    floors, caps = ~ties.is_cap, ties.is_cap
    out[ties.switches[floors]] = shares[floors] >= ties.per[floors] - DUST
    out[ties.switches[caps]] = shares[caps] > DUST
    out[whole] = np.clip(out[whole], asked.column_low[whole], asked.column_high[whole])
    return out


def holds(asked: Programme, point: Vector) -> bool:
    """Whether a point meets every row and bound, and is whole where it must be."""
    activity = asked.matrix @ point
    whole = point[asked.integer]
    return bool(
        (activity >= asked.row_low - HELD).all()
        and (activity <= asked.row_high + HELD).all()
        and (point >= asked.column_low - HELD).all()
        and (point <= asked.column_high + HELD).all()
        and (np.abs(whole - np.round(whole)) <= HELD).all()
    )


def least_of(asked: Programme, points: list[Any]) -> Vector | None:
    """The cheapest of the points that are allowed, the first of equals."""
    allowed = [point for point in points if point is not None and holds(asked, point)]
    return min(allowed, key=lambda point: value(asked, point), default=None)


# -- a part of the programme ---------------------------------------------------------------------------------------


class Part(NamedTuple):
    """The columns of a programme that still matter, and the programme over these alone."""

    programme: Programme
    ties: Ties
    columns: Places
    size: int = 0

    @classmethod
    def of(cls, programme: Programme, ties: Ties) -> Part:
        """All of it."""
        width = len(programme.money)
        return cls(programme, ties, np.arange(width), width)

    def whole(self, point: Vector) -> Vector:
        """A point of the part as a point of the whole: what was left out is nothing."""
        out = np.zeros(self.size)
        out[self.columns] = point
        return out

    @property
    def open(self) -> int:
        """How many switches may still be on."""
        return int(np.count_nonzero(self.programme.integer & (self.programme.column_high > 0.5)))

    def narrowed(self, most: Vector) -> Part:
        """With an upper limit on each column: what cannot be used goes, and each cap is no higher than its share.

        Args:
            most: for each column of the part; infinite where nothing is known.
        """
        made, ties = self.programme, self.ties
        high = np.minimum(made.column_high, most)
        high[made.integer] = np.floor(high[made.integer] + NEAR)
        held = np.isfinite(made.row_low[ties.rows]) | np.isfinite(made.row_high[ties.rows])
        floors = ~ties.is_cap & held
        capped = ties.is_cap & held
        high[ties.switches[floors & (high[ties.shares] < ties.per - PAD)]] = 0.0
        high[ties.switches[capped & (high[ties.shares] <= DUST)]] = 0.0
        off = capped & (high[ties.switches] < 0.5)
        high[ties.shares[off]] = 0.0
        high = np.maximum(high, made.column_low)
        kept = np.flatnonzero((high > 0.0) | (made.column_low != 0.0))
        matrix = made.matrix[:, kept]
        gone = np.isneginf(made.row_low) & np.isposinf(made.row_high)
        place = np.full(len(high), -1)
        place[kept] = np.arange(len(kept))
        gone[ties.rows] |= (place[ties.shares] < 0) & (place[ties.switches] < 0)
        both = held & (place[ties.shares] >= 0) & (place[ties.switches] >= 0)
        tight = both & capped
        per = np.minimum(ties.per, np.where(tight, high[ties.shares], np.inf))
        rows = ties.rows[tight]
        matrix[rows, place[ties.switches[tight]]] = -per[tight] * matrix[rows, place[ties.shares[tight]]]
        stay = np.flatnonzero(~gone)
        row = np.full(len(gone), -1)
        row[stay] = np.arange(len(stay))
        programme = replace(
            made,
            rows=(),
            soft=(),
            matrix=matrix[stay],
            row_low=made.row_low[stay],
            row_high=made.row_high[stay],
            column_low=made.column_low[kept],
            column_high=high[kept],
            integer=made.integer[kept],
            money=made.money[kept],
            cured=made.cured[kept],
            lots=None if made.lots is None else made.lots.on(kept, len(high)),
            more_lots=tuple(one.on(kept, len(high)) for one in made.more_lots),
        )
        left = Ties(
            row[ties.rows[both]], place[ties.shares[both]], place[ties.switches[both]], per[both], ties.is_cap[both]
        )
        return Part(programme, left, self.columns[kept], self.size)
