"""How far the alkali that a batch can take may fall short of what it is worked out for, at ordinary lots: a cone and its cuts.

Every lot strays from its working figure: fats in how much alkali they take, alkalis in how pure they are, acids in how
strong. What strays together (one fat under several names) adds up as it is; groups stray on their own and add up as the
root of the sum of squares. So the shortfall is the norm of a linear map of the blend, ||D v||, a second-order cone. It is
met by cutting planes: at a blend v* the tangent u.D v <= ||D v||, u = D v* / ||D v*||, holds for every blend (Cauchy and
Schwarz), so each relaxation's bound, and each proof that there is no blend, stays true.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, NamedTuple

import numpy as np
import numpy.typing as npt

from optimiser.maths.arrays import Vector

MOST_SPREAD = 100.0  # mol per kg fats: no batch comes near, so the bound only keeps the proof finite
SAFE = 1.0 - 1e-12  # of a tangent: what binary fractions may have added to it is taken off again

Groups = npt.NDArray[np.intp]


class LotSpread(NamedTuple):
    """The cone: column `norm` is at least the norm of the deviations.

    `group` and `weight` have an entry for each of the first columns: which group a column strays with, and by how many
    moles of alkali a kilo of it strays (95 % of lots, never below 0).
    """

    norm: int
    group: Groups
    weight: Vector

    @property
    def groups(self) -> int:
        """How many groups there are."""
        return int(self.group.max(initial=-1)) + 1

    def deviations(self, point: Vector) -> Vector:
        """What each group strays at a blend, mol per kg fats."""
        return np.asarray(np.bincount(self.group, weights=self.weight * point[: len(self.weight)]), dtype=np.float64)

    def length(self, point: Vector) -> float:
        """The norm of the deviations at a blend, mol per kg fats."""
        return float(np.sqrt(np.square(self.deviations(point)).sum()))

    def lifted(self, point: Vector) -> Vector:
        """The blend with its norm as it is: a model only holds it above, and may leave it higher where no row minds."""
        out = point.copy()
        out[self.norm] = self.length(point)
        return out

    def direction(self, point: Vector) -> Vector:
        """Which way the groups stray at a blend: their deviations over the norm."""
        return self.deviations(point) / self.length(point)

    def tangent(self, direction: Vector, width: int) -> Vector:
        """The row norm - u.D v, at least 0 for every blend, over so many columns; u is no longer than 1, none below 0."""
        row = np.zeros(width)
        row[: len(self.weight)] = -SAFE * direction[self.group] * self.weight
        row[self.norm] += 1.0
        return row

    def on(self, kept: Sequence[int] | npt.NDArray[Any], width: int) -> LotSpread:
        """The same over some of so many columns, in their order; the norm must be among them."""
        columns = np.asarray(kept, dtype=np.intp)
        group, weight = np.zeros(width, dtype=np.intp), np.zeros(width)
        group[: len(self.group)], weight[: len(self.weight)] = self.group, self.weight
        return LotSpread(int(np.flatnonzero(columns == self.norm)[0]), group[columns], weight[columns])
