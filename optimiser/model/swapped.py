"""How much of the fats a blend swaps against blends in hand: the columns and rows that reckon it, for blends of bounded cost.

What is swapped between two blends is the sum of what there is more of in the one, as a part of all fats: half of what they
differ by in all. A fat and what is built on it (another lot, an infusion) count as one. It is no linear figure, since a fat
of the blend in hand may grow or shrink: where there is more of it, d <= x - a, and where there is less, d <= 0. A 0/1 column
z on each such fat chooses: d <= x - a z and d <= (1 - a) z. Fats that the blend in hand has not need no choice.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from functools import cached_property
from typing import NamedTuple

import numpy as np

from optimiser.maths.arrays import Matrix, Vector
from optimiser.measures.sides import Side
from optimiser.model.programme import Programme
from optimiser.model.rows import Row
from optimiser.problem.wishes import Said, Section, WishId

DUST = 1e-7  # of the fats: what a solver leaves of nothing
ROOM = 1e-9  # money per kilo: what rounding may do to a row on the cost
SWAPPED = "swapped"
CEILING = "cost within what is asked"
WHY = "what is swapped counts where there is more of a fat"


def by_group(programme: Programme) -> Matrix:
    """Which fats count as one: a row for each group over all columns, 1 at its fats."""
    names: dict[str, int] = {}
    places = [names.setdefault(fat.group, len(names)) for fat in programme.columns.fats]
    out = np.zeros((len(names), len(programme.money)))
    out[places, np.arange(len(places))] = 1.0
    return out


def swapped(groups: Matrix, one: Vector, other: Vector) -> float:
    """The part of the fats by which two blends differ, from 0 to 1; the order does not matter."""
    width = groups.shape[1]
    return 0.5 * float(np.abs(groups @ (one[:width] - other[:width])).sum())


def within_cost(programme: Programme, ceiling: float) -> Programme:
    """The programme with one row more: money per kilo of cured bar is at most `ceiling`."""
    if programme.rows:
        wish = WishId(Section.PHYSICS, CEILING, Side.AT_MOST)
        said = Said("the cost within what is asked")
        top, cured = programme.money, programme.cured
        row = Row(wish, CEILING, said, Side.AT_MOST, ceiling, "money / kg", 1.0, "asked for", top, cured)
        programme = replace(programme, rows=(*programme.rows, row))
    return replace(
        programme,
        matrix=np.vstack([programme.matrix, programme.money - ceiling * programme.cured]),
        row_low=np.append(programme.row_low, -np.inf),
        row_high=np.append(programme.row_high, ROOM),
    )


class Own(NamedTuple):
    """A group of fats that a blend in hand has: which blend, which group, and how much."""

    blend: int
    group: int
    share: float


class Apart:
    """A programme in which the last column is what a blend swaps at the least against each of some blends.

    Columns: those of the programme, a d for each group of fats of each blend in hand, a 0/1 z for each, and t last.
    """

    def __init__(self, base: Programme, blends: Sequence[Vector]) -> None:
        self.base, self.blends = base, blends
        self.groups = by_group(base)
        self.width = len(base.money)
        found = [self.groups @ blend[: self.width] for blend in blends]
        self.own = [
            Own(place, group, float(share))
            for place, shares in enumerate(found)
            for group, share in enumerate(shares)
            if share > DUST
        ]

    @cached_property
    def programme(self) -> Programme:
        """The base with the further columns and rows."""
        base, more = self.base, len(self.own)
        rows = [*self._choosing(), *self._least()]
        matrix = np.zeros((len(base.matrix) + len(rows), self.size))
        matrix[: len(base.matrix), : self.width] = base.matrix
        matrix[len(base.matrix) :] = [row.top for row in rows]
        nothing, ones = np.zeros(2 * more + 1), np.ones(2 * more + 1)
        whole = np.repeat([False, True, False], [more, more, 1])
        return replace(
            base,
            rows=(*base.rows, *rows) if base.rows else (),
            matrix=matrix,
            row_low=np.append(base.row_low, np.full(len(rows), -np.inf)),
            row_high=np.append(base.row_high, np.zeros(len(rows))),
            column_low=np.append(base.column_low, nothing),
            column_high=np.append(base.column_high, ones),
            integer=np.append(base.integer, whole),
            money=np.append(base.money, nothing),
            cured=np.append(base.cured, nothing),
            soft=(),
        )

    @property
    def size(self) -> int:
        """How many columns there are."""
        return self.width + 2 * len(self.own) + 1

    @property
    def t(self) -> int:
        """The column of what is swapped at the least."""
        return self.size - 1

    @property
    def objective(self) -> Vector:
        """The least of it is the most that can be swapped."""
        out = np.zeros(self.size)
        out[self.t] = -1.0
        return out

    def placed(self, point: Vector) -> Vector:
        """A blend of the base as a point of the programme, every further column as the blend asks."""
        out = np.zeros(self.size)
        out[: self.width] = point[: self.width]
        shares = self.groups @ out[: self.width]
        for place, one in enumerate(self.own):
            more = max(0.0, float(shares[one.group]) - one.share)
            out[self.width + place] = more
            out[self.width + len(self.own) + place] = float(more > DUST)
            if more <= DUST:
                out[self.width + place] = 0.0
        out[self.t] = max(0.0, min(self._sum(out, blend) for blend in range(len(self.blends))))
        return out

    def least(self, point: Vector) -> float:
        """What a blend swaps against the nearest of those in hand."""
        return min(swapped(self.groups, point, blend) for blend in self.blends)

    def switches_of(self, group: int) -> list[int]:
        """The places of the 0/1 columns on a group of fats."""
        first = self.width + len(self.own)
        return [first + place for place, one in enumerate(self.own) if one.group == group]

    def _sum(self, point: Vector, blend: int) -> float:
        """What a point swaps against a blend in hand, by its own columns."""
        return -float(self._of_blend(blend).top[: self.t] @ point[: self.t])

    def _choosing(self) -> list[Row]:
        rows = []
        for place, one in enumerate(self.own):
            d, z = self.width + place, self.width + len(self.own) + place
            grown, open_to = np.zeros(self.size), np.zeros(self.size)
            grown[: self.width] = -self.groups[one.group]
            grown[d], grown[z] = 1.0, one.share
            open_to[d], open_to[z] = 1.0, -max(0.0, 1.0 - one.share)
            rows += [self._row(f"grown {place}", grown), self._row(f"open {place}", open_to)]
        return rows

    def _least(self) -> list[Row]:
        return [self._of_blend(blend) for blend in range(len(self.blends))]

    def _of_blend(self, blend: int) -> Row:
        """What is swapped at the least is no more than what is swapped against this blend."""
        top = np.zeros(self.size)
        has = {one.group for one in self.own if one.blend == blend}
        for group, members in enumerate(self.groups):
            if group not in has:
                top[: self.width] -= members
        for place, one in enumerate(self.own):
            if one.blend == blend:
                top[self.width + place] = -1.0
        top[self.t] = 1.0
        return self._row(f"blend {blend + 1}", top)

    @staticmethod
    def _row(name: str, top: Vector) -> Row:
        wish = WishId(Section.PHYSICS, SWAPPED, Side.AT_MOST, name)
        return Row(wish, SWAPPED, Said("what is swapped"), Side.AT_MOST, 0.0, "", 1.0, WHY, top)
