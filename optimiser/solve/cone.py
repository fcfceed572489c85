"""The cone of the lots inside one HiGHS instance: columns and tangents of its own, added when a blend first misses it.

The norm of many deviations is slow to cut by tangents of the whole. So each deviation d gets a column z with z t >= d^2, and
the columns add up to t at most: then each is cut by tangents of its own, z >= 2 q d - q^2 t at a ratio q = d / t, and a few
rounds do (the extended formulation of Vielma, Dunning, Huchette & Lubin 2017, doi:10.1007/s12532-016-0113-y).

These columns never leave this room. What an optimum or a proof owes to the tangents is told as one row over the blend: by
their multipliers, r = sum y q / y0, they come to t >= 2 r.d / (1 + |r|^2), which holds for every r since
t^2 >= |d|^2 and 2 |r| <= 1 + |r|^2.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, NamedTuple

import highspy
import numpy as np

from optimiser.maths.arrays import Vector
from optimiser.model.lot_spread import LotSpread

FINE = 1000.0  # rows of the cone are in thousandths of a mole, so that HiGHS's tolerance on them is as nothing
LEAST = 1e-7  # of the norm: a group that strays less is cut where it strays so much
MOST_TANGENTS = 12  # of a group, as long as one is idle
OWED = 1e-11  # of a multiplier: what the optimum owes to the cone is nothing


class Debt(NamedTuple):
    """What an optimum or a ray owes to the cone: a direction over the groups, no longer than 1, and its multiplier."""

    direction: Vector
    multiplier: float


class Cone:
    """The cone of a programme in its HiGHS instance."""

    def __init__(self, model: Any, lots: LotSpread) -> None:
        self.lots = lots
        self._model = model
        self._sum = -1
        self._columns: dict[int, int] = {}
        self._at: list[int] = []
        self._of: list[int] = []
        self._ratios: list[float] = []
        self._before = 0

    @property
    def is_open(self) -> bool:
        """Whether any blend has missed it yet."""
        return self._sum >= 0

    def begin(self) -> None:
        """A new question: the tangents there are may make room for others, and those that it adds may not."""
        self._before = len(self._at)

    def cut(self, point: Vector) -> int:
        """Add the tangents at a blend, and say how many."""
        if not self.is_open:
            self._open()
        ratios = self.lots.direction(point)
        felt = np.flatnonzero(ratios > LEAST).tolist()
        idle = self._idle() if len(self._at) >= MOST_TANGENTS else set()
        for group in felt:
            self._tangent(group, float(ratios[group]), idle)
        return len(felt)

    def _open(self) -> None:
        """The row that says that the columns of the groups add up to the norm at most."""
        self._sum = self._row([self.lots.norm], [FINE])

    def _row(self, columns: list[int], entries: list[float]) -> int:
        at = int(self._model.getNumRow())
        self._model.addRow(
            0.0, highspy.kHighsInf, len(columns), np.array(columns, dtype=np.int32), np.array(entries, dtype=float)
        )
        return at

    def _column(self, group: int) -> int:
        """The column of a group, made when it is first asked for."""
        if group not in self._columns:
            self._columns[group] = int(self._model.getNumCol())
            entry = np.array([self._sum], dtype=np.int32), np.array([-1.0])
            self._model.addCol(0.0, 0.0, highspy.kHighsInf, 1, *entry)
        return self._columns[group]

    def _tangent(self, group: int, ratio: float, idle: set[int]) -> None:
        """A tangent of a group: in the place of one that nothing leans on where the group has many, else one more."""
        members = np.flatnonzero((self.lots.group == group) & (self.lots.weight > 0.0)).tolist()
        felt = (-2.0 * FINE * ratio * self.lots.weight[members]).tolist()
        own = [place for place, other in enumerate(self._of) if other == group]
        spare = next((place for place in own if place in idle), None) if len(own) >= MOST_TANGENTS else None
        if spare is None:
            columns = [*members, self.lots.norm, self._column(group)]
            self._at.append(self._row(columns, [*felt, FINE * ratio * ratio, 1.0]))
            self._of.append(group)
            self._ratios.append(ratio)
            return
        idle.discard(spare)
        for column, entry in zip([*members, self.lots.norm], [*felt, FINE * ratio * ratio], strict=True):
            self._model.changeCoeff(self._at[spare], column, entry)
        self._ratios[spare] = ratio

    def _idle(self) -> set[int]:
        """Tangents from before this question that nothing leans on at the last optimum, by place."""
        dual = np.array(self._model.getSolution().row_dual)
        return {place for place, at in enumerate(self._at[: self._before]) if at < len(dual) and dual[at] == 0.0}

    def owed(self, dual: Vector) -> Debt | None:
        """What multipliers of all rows of the instance owe to the cone; None where that is nothing."""
        if not self.is_open or not dual[self._sum] > OWED:
            return None
        own = np.maximum(dual[self._at], 0.0) / dual[self._sum]
        along = np.asarray(
            np.bincount(self._of, weights=own * np.array(self._ratios), minlength=self.lots.groups), dtype=np.float64
        )
        size = 1.0 + float(np.square(along).sum())
        if size == 1.0:
            return None
        return Debt(2.0 * along / size, FINE * float(dual[self._sum]) * size)


class Cones:
    """The cones of a programme in its HiGHS instance: one for each bar that there is, and none where no lots stray."""

    def __init__(self, model: Any, every: Sequence[LotSpread]) -> None:
        self.every = tuple(every)
        self.norms = [lots.norm for lots in self.every]
        self._cones = tuple(Cone(model, lots) for lots in self.every)

    @property
    def is_open(self) -> bool:
        """Whether any blend has missed one of them yet."""
        return any(cone.is_open for cone in self._cones)

    def begin(self) -> None:
        """A new question: the tangents there are may make room for others, and those that it adds may not."""
        for cone in self._cones:
            cone.begin()

    def excess(self, point: Vector) -> float:
        """By how much the spread of some lots is more than its column holds; below 0 where none is."""
        return max((lots.length(point) - float(point[lots.norm]) for lots in self.every), default=-np.inf)

    def cut(self, point: Vector, within: float) -> int:
        """Add the tangents at a blend of each cone that it misses by more than so much, and say how many."""
        missed = [cone for cone in self._cones if cone.lots.length(point) - float(point[cone.lots.norm]) > within]
        return sum(cone.cut(point) for cone in missed)

    def lifted(self, point: Vector) -> Vector:
        """The blend with each norm as it is."""
        for lots in self.every:
            point = lots.lifted(point)
        return point

    def owed(self, dual: Vector, width: int) -> list[tuple[Vector, float]]:
        """What multipliers of all rows of the instance owe to the cones: rows over so many columns, each with its multiplier."""
        debts = [(cone.lots, cone.owed(dual)) for cone in self._cones]
        return [(lots.tangent(debt.direction, width), debt.multiplier) for lots, debt in debts if debt is not None]

    def tangents(self, point: Vector, width: int) -> list[Vector]:
        """The tangent of each cone at a blend, as rows over so many columns."""
        return [lots.tangent(lots.direction(point), width) for lots in self.every if lots.length(point) > 0.0]
